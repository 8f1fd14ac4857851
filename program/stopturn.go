package program

// A stop-and-turn wire is told apart by how it differs from its stop reference, counted in frames; docs/engine.md, section 3.2.
const (
	turnTogether = 6   // 24 ms: wire and reference that rise no further apart rise together
	turnApart    = 6   // 24 ms apart: a flasher is at work
	turnLasts    = 160 // 640 ms after the last flash the turn is over
	turnNever    = 250 // a second apart: no flasher
)

// parter steps one wire that lights for stop and for turn.
type parter struct {
	wire, reference, turn uint8 // inputs, one bit each; wire 0: not used
	apart, high, flash    uint8 // frames
	was                   bool  // the reference of the job before
}

// parterOf readies a wire.
func parterOf(s StopTurn) parter {
	if !s.Used {
		return parter{}
	}
	return parter{wire: 1 << s.Wire, reference: 1 << s.Reference, turn: 1 << s.Turn}
}

// step gives the inputs of a job, so far in, with the turn in its own bit, and with a brake that the reference did not tell.
func (p *parter) step(snapshot, in uint8) uint8 {
	wire, reference := snapshot&p.wire != 0, snapshot&p.reference != 0
	p.high = counted(p.high, wire)
	p.apart = counted(p.apart, wire != reference)
	if reference && !p.was && p.high <= turnTogether {
		p.flash = 0
	}
	switch {
	case p.apart >= turnNever:
		p.flash = 0
	case p.apart >= turnApart:
		p.flash = turnLasts
	case p.flash > 0:
		p.flash--
	}
	p.was = reference
	in &^= p.turn
	if wire && p.flash > 0 {
		in |= p.turn
	}
	if wire && !reference && p.apart >= turnNever {
		in |= p.reference
	}
	return in
}

// counted counts frames in which something holds, up to turnNever.
func counted(n uint8, holds bool) uint8 {
	if !holds {
		return 0
	}
	return min(n+1, turnNever)
}

// brakes reports whether what the wire of an input just did was a brake, so that its on-time tells nothing of a flasher.
func (p *parter) brakes(input uint8) bool { return p.quiet()&input != 0 }

// quiet gives the inputs of a wire that does not flash now, its own and its turn's; 0 while it does, and of a wire that is not used.
func (p *parter) quiet() uint8 {
	if p.wire == 0 || p.flash > 0 {
		return 0
	}
	return p.wire | p.turn
}

// bytes gives a wire as it stands in the safe block.
func (s StopTurn) bytes() (b [2]byte) {
	if !s.Used {
		return b
	}
	return [2]byte{0x80 | s.Reference<<3 | s.Wire, s.Turn}
}

// stopTurnOf reads it, whatever it holds: for the core, any first byte but 0 names one.
func stopTurnOf(b []byte) StopTurn {
	if b[0] == 0 {
		return StopTurn{}
	}
	return StopTurn{Used: true, Wire: b[0] & 7, Reference: b[0] >> 3 & 7, Turn: b[1] & 7}
}

// checkStopTurn gives the faults of the stop-and-turn wires of a block.
func (s *Safe) checkStopTurn() (fs Faults) {
	for i, w := range s.StopTurn {
		at := safeStopTurn + 2*i
		switch o := s.StopTurn[1-i]; {
		case !w.Used:
		case max(w.Wire, w.Reference, w.Turn) >= MaxInputs || w.Wire == w.Reference || w.Wire == w.Turn || w.Reference == w.Turn:
			fs.add(at, "safe block", nextLayout, "three different inputs of 0..7", "stop-and-turn wire on input %d, its reference on %d, its turn on %d", w.Wire, w.Reference, w.Turn)
		case s.Shared.Used && (w.Turn == s.Shared.From || w.Turn == s.Shared.As):
			fs.add(at, "safe block", nextLayout, "an input that nothing else uses", "the turn of a stop-and-turn wire on input %d, which a shared wire uses", w.Turn)
		case o.Used && (w.Turn == o.Wire || w.Turn == o.Reference || i == 1 && (w.Turn == o.Turn || w.Wire == o.Wire)):
			fs.add(at, "safe block", nextLayout, "a wire and an input for its turn of its own", "stop-and-turn wire on input %d with its turn on %d, beside one on %d, %d, %d", w.Wire, w.Turn, o.Wire, o.Reference, o.Turn)
		}
	}
	return fs
}
