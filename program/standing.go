package program

// Standing is how a layer stands after the job done last; docs/engine.md, section 4.1.
type Standing struct {
	Phase  Phase
	Asked  bool // one of its inputs is on
	Barred bool // an input bars it, or what it depends on is off
	Spent  bool // it has ended, and must be asked for anew
	Window int  // frames left in which a return skips arrive
	Keep   int  // frames for which it still keeps its outputs dark
	Limit  int  // units of LimitUnitFrames for which it may still run; 0: no limit counts
}

// Bars is what bars every show.
type Bars struct {
	Over, Low bool // too much supply, or too little
	Warm, Hot bool // heat that ends shows, heat that halves light
	Stream    bool // light is streamed to the module
}

// Asked gives the inputs as the job done last saw them, with the turn of a wire that carries the stop as an input of its own; bit 0 is
// in1.
func (e *Engine) Asked() uint8 { return e.lastIn }

// Bars tells what bars every show after the job done last.
func (e *Engine) Bars() Bars {
	return Bars{Over: e.sensing.over, Low: e.sensing.low, Warm: e.sensing.warm, Hot: e.sensing.hot, Stream: e.stream.running}
}

// Standings gives every layer, highest priority first; none while no image runs.
func (e *Engine) Standings() []Standing {
	if !e.live {
		return nil
	}
	all := make([]Standing, len(e.image.layers))
	for i := range all {
		l, t, in := &e.image.layers[i], &e.timers[i], e.lastIn
		s := Standing{
			Phase: e.states[i].Phase, Spent: e.states[i].Spent, Window: int(t.window), Asked: in&l.inputs != 0,
			Barred: in&l.notWhile != 0 || l.onlyWhile != 0 && in&l.onlyWhile == 0,
		}
		switch s.Phase {
		case Keep:
			s.Keep = int(t.keep)
		case Arrive, Stay:
			s.Limit = int(t.limit)
		}
		all[i] = s
	}
	return all
}
