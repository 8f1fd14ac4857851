package program

// Phase is where a layer stands.
type Phase uint8

// The phases of a layer.
const (
	Off    Phase = iota
	Arrive       // plays its arrive routine
	Stay         // plays its stay routine, or shows its still table
	Leave        // plays its leave routine
	Keep         // holds its outputs dark
)

var phaseNames = [...]string{"off", "arrive", "stay", "leave", "keep"}

func (p Phase) String() string { return phaseNames[p] }

// Traits is what of a layer decides its moves.
type Traits struct {
	Arrive, Leave bool // has that routine
	Keep          bool // keeps its outputs dark for a time after its end
	Ends          bool // ends when a signal takes one of its outputs
	Show          bool // is cut when it is barred, and must be asked for anew
}

// State is a layer's state, apart from its timers.
type State struct {
	Phase Phase
	Spent bool // ended by its limit, a signal or a bar: waits for its input to go off
}

// Event is what one frame tells a layer. The timers have been counted down already.
type Event struct {
	Wanted      bool // one of its inputs is on
	Barred      bool // something forbids it now
	Interrupted bool // a live signal of higher priority takes one of its outputs
	WindowOpen  bool // a return skips arrive
	KeepOver    bool // the keep time ended in this frame
	LimitOver   bool // the limit was reached in this frame
	RoutineOver bool // its routine met its end in an earlier frame
}

// Move is what the layer does with its player and timers. Start is the phase whose routine begins, or Off for none.
type Move struct {
	Start       Phase
	SetWindow   bool // begin the repeat window
	ClearWindow bool // end it at once
	SetKeep     bool // begin the keep time
	SetLimit    bool // begin the limit anew
}

// Next is the signal machine: one step of one layer in one frame; docs/engine.md, section 4.1. The caller counts the
// timers.
func Next(t Traits, s State, e Event) (State, Move) {
	var m Move
	rest := func() {
		s.Phase, m.Start = Off, Off
		if t.Keep {
			s.Phase, m.SetKeep = Keep, true
		}
	}
	begin := func(p Phase) { s.Phase, m.Start = p, p }
	runs := func() bool { return s.Phase == Arrive || s.Phase == Stay }

	if !e.Wanted {
		s.Spent = false
	}
	if s.Phase == Keep && e.KeepOver {
		s.Phase = Off
	}
	if runs() && e.LimitOver {
		s.Spent = true
	}
	if e.RoutineOver {
		switch s.Phase {
		case Arrive:
			begin(Stay)
		case Leave:
			rest()
		}
	}
	if t.Ends && e.Interrupted && (runs() || s.Phase == Leave) {
		s.Spent, s.Phase = true, Off
		m = Move{ClearWindow: true}
	}
	if t.Show && e.Barred {
		s.Spent = s.Spent || e.Wanted
		if s.Phase != Off {
			s.Phase = Off
			m = Move{ClearWindow: true}
		}
	}
	switch wanted := e.Wanted && !e.Barred && !s.Spent; {
	case wanted && !runs():
		if t.Arrive && !e.WindowOpen {
			begin(Arrive)
		} else {
			begin(Stay)
		}
		m.SetLimit = true
	case !wanted && runs():
		m.SetWindow = true
		if t.Leave {
			begin(Leave)
		} else {
			rest()
		}
	}
	return s, m
}
