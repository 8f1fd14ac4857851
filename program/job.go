package program

import "encoding/binary"

// snapshot is what a frame job knows of the samples.
type snapshot struct {
	raw      uint8 // filtered inputs
	in       uint8 // with the turn of a stop-and-turn wire in its own bit; set by the job
	counting bool  // an input is being counted
	age      [MaxPacers]uint16
	done     [MaxPacers]uint16
	fresh    [MaxPacers]bool
	event    event
	code     uint8 // of the supply in even jobs, of the heat in odd ones
	streamed bool  // a live frame arrived
	heard    bool  // something came over the serial line
}

// job does the work of one frame; docs/engine.md, section 4.
func (e *Engine) job(s *snapshot) {
	s.in = s.raw
	if e.parting {
		for i := range e.parters {
			if p := &e.parters[i]; p.wire != 0 {
				s.in = p.step(s.raw, s.in)
			}
		}
	}
	switch {
	case !e.live:
		e.sensing.judge(e.frame, s.code, e.safe.Over, nil)
		e.safeJob(s.in)
		if !e.judged && int(e.frame) == e.checked {
			e.judged, e.accepted = true, e.image != nil
			e.dirty = true // a turn may have waited
		}
	case e.image.walk:
		e.sensing.judge(e.frame, s.code, e.safe.Over, &e.image.limits)
		e.walkJob(s.in)
	default:
		e.sensing.judge(e.frame, s.code, e.safe.Over, &e.image.limits)
		e.liveJob(s)
		e.sleeper.count(e.isQuiet(s))
	}
	e.publish()
	e.lastIn = s.in
	e.frame++
}

// publish adds to the levels what goes with them.
func (e *Engine) publish() {
	e.pending.live, e.pending.rested = e.live, e.rested()
	e.pending.halved = e.sensing.over || e.sensing.hot
	if e.pending.forceSet = e.forceSet; e.sensing.over {
		e.pending.forceSet = 0 // the frame job halves the stop, too
	}
}

// safeJob shows the safe program; its stop override is set from the start.
func (e *Engine) safeJob(in uint8) {
	if in == e.lastIn && !e.dirty {
		return
	}
	e.dirty = false
	s := &e.safe
	light := func(inputs uint8, outs [MaxRegisters]uint8, level uint8) {
		if in&inputs == 0 {
			return
		}
		for o := range e.pending.levels {
			if outs[o/8]>>(o%8)&1 != 0 {
				e.pending.levels[o] = level
			}
		}
	}
	clear(e.pending.levels[:])
	light(s.Tail, s.TailOut, s.TailLevel)
	if e.judged || !s.TurnWaits {
		light(s.TurnB, s.TurnBOut, FullLevel)
		light(s.TurnA, s.TurnAOut, FullLevel)
	}
	light(s.Stop, s.StopOut, FullLevel)
}

// walkJob lights the outputs one after the other, one a press.
func (e *Engine) walkJob(in uint8) {
	e.forceSet = 0
	clear(e.pending.levels[:])
	if !e.walking {
		e.walking = true
	} else if in&^e.lastIn != 0 {
		if e.presses++; int(e.presses) > 8*e.safe.Registers {
			e.presses = 1
		}
	}
	if e.presses > 0 {
		e.pending.levels[e.presses-1] = FullLevel
	}
}

// liveJob runs the image's layers.
func (e *Engine) liveJob(s *snapshot) {
	for p := range e.memories {
		if s.fresh[p] {
			e.learn(p, s.done[p])
		}
	}
	e.keeper.write()
	if e.stream.step(s.streamed && e.image.live) {
		e.dirty = true
	}
	starts := e.machine(s)
	if e.image.role == Follower {
		e.follow(s.event, starts)
	}
	e.play(s, starts)
	if e.dirty {
		e.dirty = false
		e.paint()
	}
	if e.image.role == Leader {
		e.mark()
	}
}

// learn takes the on-time of one flash, and keeps what is worth it.
func (e *Engine) learn(pacer int, done uint16) {
	for i := range e.parters {
		if e.parters[i].brakes(e.image.pacers[pacer]) {
			return
		}
	}
	if m := &e.memories[pacer]; m.learn(done) {
		e.keeper.offer(pacer, m, e.image.turnFed)
	}
}

// machine steps every layer and gives the phase that each begins.
func (e *Engine) machine(s *snapshot) (starts [MaxLayers]Phase) {
	var taken uint64 // by live signals of higher priority
	c := &e.sensing
	quiet := e.parters[0].quiet() | e.parters[1].quiet()
	noShows := c.over || c.low || c.warm || c.hot || e.stream.running
	for i := range e.image.layers {
		l, t := &e.image.layers[i], &e.timers[i]
		before := e.states[i]
		ev := Event{Wanted: s.in&l.inputs != 0, Interrupted: l.takes&taken != 0}
		ev.Barred = s.in&l.notWhile != 0 || l.onlyWhile != 0 && s.in&l.onlyWhile == 0 || noShows && l.traits.Show
		if t.window > 0 {
			t.window--
		}
		if before.Phase == Keep {
			t.keep--
			ev.KeepOver = t.keep == 0 || l.inputs&quiet != 0
		}
		if t.limit > 0 && e.frame%LimitUnitFrames == 0 && (before.Phase == Arrive || before.Phase == Stay) {
			t.limit--
			ev.LimitOver = t.limit == 0
		}
		ev.WindowOpen = t.window > 0
		if l.moving {
			p := &e.players[l.player]
			ev.RoutineOver, p.ended = p.ended, false
		}
		after, move := Next(l.traits, before, ev)
		e.states[i], starts[i] = after, move.Start
		e.pending.phases[i] = after.Phase
		if after.Phase != before.Phase {
			e.dirty = true
		}
		if move.ClearWindow {
			t.window = 0
		}
		if move.SetWindow {
			t.window = l.window
		}
		if move.SetKeep {
			t.keep = l.keep
		}
		if move.SetLimit {
			t.limit = l.limit
		}
		if after.Phase != Off && !l.traits.Show {
			taken |= l.takes
		}
	}
	return starts
}

// play starts and steps the players of the layers that move.
func (e *Engine) play(s *snapshot, starts [MaxLayers]Phase) {
	for i := range e.image.layers {
		l := &e.image.layers[i]
		if !l.moving {
			continue
		}
		p, fades := &e.players[l.player], e.fades[l.firstFade:][:len(l.outs)]
		code := e.image.code
		switch starts[i] {
		case Arrive:
			rate := uint16(rateOne)
			if l.paced {
				rate = e.memories[l.pacer].rate(s.age[l.pacer], l.arriveTicks)
			}
			p.start(code, fades, l.arrive, rate)
		case Stay:
			rate := uint16(rateOne)
			if l.linked && e.image.role == Follower {
				rate = e.sync.rate()
			}
			p.start(code, fades, l.stay, rate)
		case Leave:
			p.start(code, fades, l.leave, rateOne)
		default:
			switch e.states[i].Phase {
			case Arrive, Stay, Leave:
				if !e.sync.restarted(i) && p.frame(code, fades) {
					e.dirty = true
				}
			}
			continue
		}
		e.dirty = true
	}
}

// paint gives every output the level of the layer of highest priority that is live, and finds the stop override's set.
func (e *Engine) paint() {
	var set, above, covered uint64
	var seen [MaxLayers]bool // layers with an output that no layer before covers
	for i := range e.image.layers {
		l := &e.image.layers[i]
		if l.fast {
			set |= l.takes &^ above
		}
		if e.states[i].Phase != Off {
			seen[i] = l.covers&^covered != 0
			above |= l.takes
			covered |= l.covers
		}
	}
	e.forceSet = set
	levels := &e.pending.levels
	if clear(levels[:]); e.stream.running {
		*levels = e.stream.held
	}
	for i := len(e.image.layers) - 1; i >= 0; i-- {
		l := &e.image.layers[i]
		switch phase := e.states[i].Phase; {
		case !seen[i]:
		case phase == Keep:
			for _, o := range l.outs {
				levels[o&(MaxOutputs-1)] = 0
			}
		case l.moving:
			fades := e.fades[l.firstFade:][:len(l.outs)]
			for s, o := range l.outs {
				levels[o&(MaxOutputs-1)] = uint8(fades[s].cur >> 8)
			}
		default:
			table := l.table[:len(l.outs)]
			for s, o := range l.outs {
				levels[o&(MaxOutputs-1)] = table[s]
			}
		}
	}
}

// registersMask has a bit for each output that exists.
func (e *Engine) registersMask() uint64 {
	return ^uint64(0) >> (MaxOutputs - 8*e.safe.Registers)
}

// bytesOf gives the byte of each register, register 0 first.
func bytesOf(outputs uint64) (b [MaxRegisters]uint8) {
	binary.LittleEndian.PutUint64(b[:], outputs)
	return b
}
