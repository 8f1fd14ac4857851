package program

// Met tells what is under way in an engine, for tests of what random programs and samples meet.
func (e *Engine) Met() map[string]bool {
	c := &e.sensing
	met := map[string]bool{"over": c.over, "low": c.low, "warm": c.warm, "hot": c.hot, "live mode": e.stream.running, "memory being written": e.keeper.waits()}
	for i := range e.parters {
		p := &e.parters[i]
		if p.wire == 0 {
			continue
		}
		wire, reference := e.state&p.wire != 0, e.state&p.reference != 0
		met["turn on a stop-and-turn wire"] = met["turn on a stop-and-turn wire"] || wire && p.flash > 0
		met["brake"] = met["brake"] || wire && reference && p.flash == 0
		met["turn under the brake"] = met["turn under the brake"] || wire && reference && p.flash > 0
		met["broken reference"] = met["broken reference"] || wire && !reference && p.apart >= turnNever
		met["not yet told apart"] = met["not yet told apart"] || wire && !reference && p.apart > 0 && p.apart < turnApart
	}
	if !e.live || e.image.walk {
		return met
	}
	for i := range e.image.layers {
		l, in := &e.image.layers[i], e.lastIn
		barred := in&l.notWhile != 0 || l.onlyWhile != 0 && in&l.onlyWhile == 0
		if asked := in&l.inputs != 0; asked && barred {
			met["a signal barred"] = met["a signal barred"] || !l.traits.Show
			met["a show barred"] = met["a show barred"] || l.traits.Show
		} else if asked && e.states[i].Spent {
			met["a show to be asked for anew"] = true
		}
		met["turn-fed arrive"] = met["turn-fed arrive"] || e.image.turnFed && l.paced && e.states[i].Phase == Arrive
		if l.paced && l.inputs != e.image.pacers[l.pacer] {
			met["paced by a stop-and-turn wire"] = met["paced by a stop-and-turn wire"] || e.states[i].Phase == Arrive
		}
	}
	for p := range e.memories {
		met["pace held"] = met["pace held"] || e.memories[p].held != 0 && e.memories[p].n == 0
	}
	return met
}
