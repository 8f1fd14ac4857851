package program

import (
	"math/rand/v2"
	"testing"
)

func TestNext(t *testing.T) {
	plain, whole, ends := Traits{}, Traits{Arrive: true, Leave: true, Keep: true}, Traits{Leave: true, Keep: true, Ends: true}
	cut := Traits{Arrive: true, Leave: true, Keep: true, Show: true}
	on := Event{Wanted: true}
	for _, c := range []struct {
		name  string
		t     Traits
		s     State
		e     Event
		after State
		move  Move
	}{
		{"pressed, no arrive", plain, State{}, on, State{Phase: Stay}, Move{Start: Stay, SetLimit: true}},
		{"pressed, with arrive", whole, State{}, on, State{Phase: Arrive}, Move{Start: Arrive, SetLimit: true}},
		{"back within the window", whole, State{}, Event{Wanted: true, WindowOpen: true}, State{Phase: Stay}, Move{Start: Stay, SetLimit: true}},
		{"held", whole, State{Phase: Stay}, on, State{Phase: Stay}, Move{}},
		{"arrive over", whole, State{Phase: Arrive}, Event{Wanted: true, RoutineOver: true}, State{Phase: Stay}, Move{Start: Stay}},
		{"arrive over as it is let go", whole, State{Phase: Arrive}, Event{RoutineOver: true}, State{Phase: Leave}, Move{Start: Leave, SetWindow: true}},
		{"stay over", whole, State{Phase: Stay}, Event{Wanted: true, RoutineOver: true}, State{Phase: Stay}, Move{}},
		{"let go, no leave", plain, State{Phase: Stay}, Event{}, State{}, Move{SetWindow: true}},
		{"let go, with leave", whole, State{Phase: Arrive}, Event{}, State{Phase: Leave}, Move{Start: Leave, SetWindow: true}},
		{"let go, keep without leave", Traits{Keep: true}, State{Phase: Stay}, Event{}, State{Phase: Keep}, Move{SetWindow: true, SetKeep: true}},
		{"leave over", whole, State{Phase: Leave}, Event{RoutineOver: true}, State{Phase: Keep}, Move{SetKeep: true}},
		{"leave over, no keep", Traits{Leave: true}, State{Phase: Leave}, Event{RoutineOver: true}, State{}, Move{}},
		{"pressed in leave", whole, State{Phase: Leave}, on, State{Phase: Arrive}, Move{Start: Arrive, SetLimit: true}},
		{"pressed in keep", whole, State{Phase: Keep}, on, State{Phase: Arrive}, Move{Start: Arrive, SetLimit: true}},
		{"keep over", whole, State{Phase: Keep}, Event{KeepOver: true}, State{}, Move{}},
		{"limit reached", whole, State{Phase: Stay}, Event{Wanted: true, LimitOver: true}, State{Phase: Leave, Spent: true}, Move{Start: Leave, SetWindow: true}},
		{"spent and still held", whole, State{Spent: true}, on, State{Spent: true}, Move{}},
		{"spent and let go", whole, State{Spent: true}, Event{}, State{}, Move{}},
		{"interrupted", ends, State{Phase: Stay}, Event{Wanted: true, Interrupted: true, WindowOpen: true}, State{Spent: true}, Move{ClearWindow: true}},
		{"interrupted in leave", ends, State{Phase: Leave}, Event{Interrupted: true}, State{Spent: true}, Move{ClearWindow: true}},
		{"interrupted as arrive is over", Traits{Arrive: true, Ends: true}, State{Phase: Arrive}, Event{Wanted: true, Interrupted: true, RoutineOver: true}, State{Spent: true}, Move{ClearWindow: true}},
		{"interrupted, but goes on", whole, State{Phase: Stay}, Event{Wanted: true, Interrupted: true}, State{Phase: Stay}, Move{}},
		{"taken before it begins", ends, State{}, Event{Wanted: true, Interrupted: true}, State{Phase: Stay}, Move{Start: Stay, SetLimit: true}},
		{"signal barred before it begins", whole, State{}, Event{Wanted: true, Barred: true}, State{}, Move{}},
		{"signal barred as it shows", whole, State{Phase: Stay}, Event{Wanted: true, Barred: true}, State{Phase: Leave}, Move{Start: Leave, SetWindow: true}},
		{"signal no longer barred", whole, State{Phase: Leave}, on, State{Phase: Arrive}, Move{Start: Arrive, SetLimit: true}},
		{"show barred before it begins", cut, State{}, Event{Wanted: true, Barred: true}, State{Spent: true}, Move{}},
		{"show cut", cut, State{Phase: Stay}, Event{Wanted: true, Barred: true, WindowOpen: true}, State{Spent: true}, Move{ClearWindow: true}},
		{"show cut as arrive is over", cut, State{Phase: Arrive}, Event{Wanted: true, Barred: true, RoutineOver: true}, State{Spent: true}, Move{ClearWindow: true}},
		{"show cut in leave, not asked for", cut, State{Phase: Leave}, Event{Barred: true}, State{}, Move{ClearWindow: true}},
		{"show cut as leave is over", cut, State{Phase: Leave}, Event{Barred: true, RoutineOver: true}, State{}, Move{ClearWindow: true}},
		{"show cut in keep", cut, State{Phase: Keep}, Event{Barred: true}, State{}, Move{ClearWindow: true}},
		{"show off and barred keeps its window", cut, State{}, Event{Barred: true, WindowOpen: true}, State{}, Move{}},
		{"show held through the bar", cut, State{Spent: true}, on, State{Spent: true}, Move{}},
	} {
		after, move := Next(c.t, c.s, c.e)
		if after != c.after || move != c.move {
			t.Errorf("%s: got %+v %+v, want %+v %+v", c.name, after, move, c.after, c.move)
		}
	}
}

// allCases calls f with every combination of traits, state and event.
func allCases(f func(t Traits, s State, e Event)) (n int) {
	bit := func(v, k int) bool { return v>>k&1 == 1 }
	for v := range 1 << 13 {
		for p := Off; p <= Keep; p++ {
			f(Traits{Arrive: bit(v, 0), Leave: bit(v, 1), Keep: bit(v, 2), Ends: bit(v, 3), Show: bit(v, 11)}, State{p, bit(v, 4)},
				Event{Wanted: bit(v, 5), Interrupted: bit(v, 6), WindowOpen: bit(v, 7), KeepOver: bit(v, 8), LimitOver: bit(v, 9), RoutineOver: bit(v, 10), Barred: bit(v, 12)})
			n++
		}
	}
	return n
}

func TestNextInEveryCase(t *testing.T) {
	n := allCases(func(tr Traits, s State, e Event) {
		after, m := Next(tr, s, e)
		if e.Wanted && !e.Barred && !s.Spent && !tr.Ends && !e.LimitOver && after.Phase != Arrive && after.Phase != Stay {
			t.Errorf("a signal that is wanted is kept dark: %+v %+v %+v", tr, s, e)
		}
		if m.Start != Off && m.Start != after.Phase {
			t.Errorf("starts %v in phase %v: %+v %+v %+v", m.Start, after.Phase, tr, s, e)
		}
		if after.Phase == Arrive && s.Phase != Arrive && !tr.Arrive || after.Phase == Leave && s.Phase != Leave && !tr.Leave || after.Phase == Keep && s.Phase != Keep && !tr.Keep {
			t.Errorf("enters %v without having it: %+v %+v %+v", after.Phase, tr, s, e)
		}
		if m.SetKeep && after.Phase != Keep && m.Start == Off {
			t.Errorf("begins to keep in phase %v: %+v %+v %+v", after.Phase, tr, s, e)
		}
		if e.Barred && tr.Show && after.Phase != Off {
			t.Errorf("a barred show is in %v: %+v %+v %+v", after.Phase, tr, s, e)
		}
		if (!e.Wanted || e.Barred) && (after.Phase == Arrive || after.Phase == Stay) {
			t.Errorf("nobody may have it, and it is in %v: %+v %+v %+v", after.Phase, tr, s, e)
		}
	})
	if n != 5<<13 {
		t.Errorf("%d cases", n)
	}
}

// rule is section 4.1 of docs/engine.md, word for word with its own counters, against which the engine's machine around
// Next is judged.
type rule struct {
	phase               Phase
	window, keep, limit int
	spent, ended        bool
	start               Phase
}

func (r *rule) rest(l *layerPlan) {
	if l.keep > 0 {
		r.phase, r.keep = Keep, int(l.keep)
	} else {
		r.phase = Off
	}
}

func (r *rule) begin(p Phase) { r.phase, r.start, r.ended = p, p, false }

func (r *rule) frame(l *layerPlan, in uint8, frame int, taken uint64, noShows bool) {
	r.start = Off
	asked := in&l.inputs != 0
	wanted := asked
	if !asked {
		r.spent = false
	}
	barred := in&l.notWhile != 0 || l.onlyWhile != 0 && in&l.onlyWhile == 0
	if l.traits.Show && noShows {
		barred = true
	}
	if barred {
		wanted = false
	}
	if r.window > 0 {
		r.window--
	}
	if r.phase == Keep {
		if r.keep--; r.keep == 0 {
			r.phase = Off
		}
	}
	if (r.phase == Arrive || r.phase == Stay) && r.limit > 0 && frame%64 == 0 {
		if r.limit--; r.limit == 0 {
			r.spent = true
		}
	}
	if r.ended {
		r.ended = false
		switch r.phase {
		case Arrive:
			r.begin(Stay)
		case Leave:
			r.rest(l)
		}
	}
	if l.traits.Ends && (r.phase == Arrive || r.phase == Stay || r.phase == Leave) && l.takes&taken != 0 {
		r.spent, r.phase, r.window, r.start = true, Off, 0, Off
	}
	if barred && l.traits.Show {
		if asked {
			r.spent = true
		}
		if r.phase != Off {
			r.phase, r.window, r.start = Off, 0, Off
		}
	}
	if r.spent {
		wanted = false
	}
	if wanted && (r.phase == Off || r.phase == Leave || r.phase == Keep) {
		if l.arrive != 0 && r.window == 0 {
			r.begin(Arrive)
		} else {
			r.begin(Stay)
		}
		r.limit = int(l.limit)
	} else if !wanted && (r.phase == Arrive || r.phase == Stay) {
		r.window = int(l.window)
		if l.leave != 0 {
			r.begin(Leave)
		} else {
			r.start = Off
			r.rest(l)
		}
	}
}

func TestMachineKeepsTheRule(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 1))
	phases := map[Phase]int{}
	for range 300 {
		e := &Engine{live: true, image: &plan{}}
		rules := make([]rule, 3)
		for i := range rules {
			l := layerPlan{moving: true, player: i, inputs: 1 << i, takes: 0b111 << i, window: uint16(random.IntN(9)), keep: uint16(random.IntN(3) * 4), limit: uint16(random.IntN(3))}
			l.arrive, l.leave = uint16(random.IntN(2)), uint16(random.IntN(2))
			l.traits = Traits{Arrive: l.arrive != 0, Leave: l.leave != 0, Keep: l.keep != 0, Ends: i > 0 && random.IntN(2) == 0, Show: i > 0}
			if random.IntN(2) == 0 {
				l.notWhile, l.onlyWhile = uint8(random.IntN(16)), uint8(random.IntN(16))
			}
			e.image.layers = append(e.image.layers, l)
			if i == 0 {
				rules[i].window, e.timers[i].window = bootWindow, bootWindow
			}
		}
		in, cuts := uint8(0), []*bool{&e.sensing.over, &e.sensing.low, &e.sensing.warm, &e.sensing.hot, &e.stream.running}
		for frame := range 400 {
			if random.IntN(7) == 0 {
				in = uint8(random.IntN(16))
			}
			noShows := false
			for _, c := range cuts {
				*c = random.IntN(60) == 0
				noShows = noShows || *c
			}
			e.frame = uint16(frame)
			starts := e.machine(&snapshot{in: in})
			taken := uint64(0)
			for i := range rules {
				l := &e.image.layers[i]
				rules[i].frame(l, in, frame, taken, noShows)
				if rules[i].phase != Off && !l.traits.Show {
					taken |= l.takes
				}
				if rules[i].phase != e.states[i].Phase || rules[i].start != starts[i] || rules[i].spent != e.states[i].Spent {
					t.Fatalf("frame %d, layer %d: the rule says %+v, the engine %+v and starts %v", frame, i, rules[i], e.states[i], starts[i])
				}
				phases[rules[i].phase]++
				if random.IntN(12) == 0 && rules[i].phase != Off && rules[i].phase != Keep {
					rules[i].ended, e.players[i].ended = true, true
				} else if starts[i] != Off {
					e.players[i].ended = false
				}
			}
		}
	}
	for p := Off; p <= Keep; p++ {
		if phases[p] == 0 {
			t.Errorf("phase %v was never reached", p)
		}
	}
}
