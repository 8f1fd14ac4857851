package program

// rateOne is the rate, in 1/4096 tick a frame, at which a player makes one tick a frame.
const rateOne = 4096

// fade is the light of one slot on its way to a target: cur is 256 times the level.
type fade struct {
	cur    uint16
	step   uint16 // added modulo 65536 each tick
	target uint8  // level
	left   uint8  // ticks
}

// set starts a fade to a level in f ticks.
func (s *fade) set(level, f uint8) {
	goal := uint16(level) << 8
	if f == 0 {
		s.cur, s.left = goal, 0
		return
	}
	s.target, s.left = level, f
	q := 65535 / uint32(f)
	if goal >= s.cur {
		s.step = uint16(uint32(goal-s.cur) * q >> 16)
	} else {
		s.step = -uint16(uint32(s.cur-goal) * q >> 16)
	}
}

// pass is a loop under way.
type pass struct {
	body uint16 // offset of its first operation
	left uint8  // passes still to begin
	k    uint8  // added to X after each pass, modulo 256
	x    uint8  // X before the loop
}

// player runs one routine: docs/engine.md, section 4.2. Its code and fades are passed in, so that an engine can be
// copied as a value.
type player struct {
	begin   uint16 // offset of the routine's first operation
	pc      uint16 // offset of the next operation
	wait    uint16 // ticks until the next operation
	pos     uint16 // ticks since the start, or since again
	acc     uint16 // 1/4096 tick
	rate    uint16 // 1/4096 tick a frame
	f, x    uint8
	depth   uint8
	busy    uint8 // no fade has more ticks left than this
	stopped bool  // met end or a fault
	ended   bool  // stopped, and the machine has not seen it yet
	passes  [MaxLoopDepth]pass
}

// start begins a routine: all fades dark, then the operations of tick 0.
func (p *player) start(code []byte, fades []fade, at, rate uint16) {
	*p = player{begin: at, pc: at, rate: rate}
	clear(fades)
	p.operate(code, fades)
}

// frame plays one frame; it reports whether a tick was made.
func (p *player) frame(code []byte, fades []fade) bool {
	p.acc += p.rate
	if p.acc < rateOne {
		return false
	}
	for p.acc >= rateOne {
		p.acc -= rateOne
		p.tick(code, fades)
	}
	return true
}

// tick steps the fades and, when it is time, the operations.
func (p *player) tick(code []byte, fades []fade) {
	if p.busy > 0 {
		p.busy--
		for i := range fades {
			s := &fades[i]
			if s.left > 1 {
				s.left--
				s.cur += s.step
			} else if s.left == 1 {
				s.left = 0
				s.cur = uint16(s.target) << 8
			}
		}
	}
	p.pos++
	if !p.stopped {
		if p.wait--; p.wait == 0 {
			p.operate(code, fades)
		}
	}
}

// stop ends the routine, by its end or by a fault; its fades go on.
func (p *player) stop() { p.stopped, p.ended = true, true }

// operate executes operations until a wait, an end or a fault.
func (p *player) operate(code []byte, fades []fade) {
	done := 0 // operations of this tick
	for {
		pc := int(p.pc)
		if pc >= len(code) {
			p.stop()
			return
		}
		op := code[pc]
		n := opLength(op)
		if n == 0 || pc+n > len(code) {
			p.stop()
			return
		}
		if op == opSpan {
			done += int(code[pc+2])
		} else {
			done++
		}
		if done > MaxOpsPerTick {
			p.stop()
			return
		}
		p.pc += uint16(n)
		switch {
		case op < opWait:
			p.fade(fades, op+p.x, code[pc+1])
		case op == opWait:
			p.wait = longWaitBase + uint16(code[pc+1])
			return
		case op < opOver:
			p.wait = uint16(op - opWait)
			return
		case op < opOverLong:
			p.f = op - opOver
		case op == opOverLong:
			p.f = code[pc+1]
		case op == opAgain:
			if p.pos == 0 {
				p.stop()
				return
			}
			p.pc, p.pos, p.f, p.x, p.depth, p.busy = p.begin, 0, 0, 0, 0, 0
			clear(fades)
		case op == opSpan:
			count := code[pc+2]
			if count < 1 || count > maxSpan {
				p.stop()
				return
			}
			first := code[pc+1] + p.x
			for i := range count {
				p.fade(fades, first+i, code[pc+3])
			}
		case op == opLoop:
			if p.depth == MaxLoopDepth || code[pc+1] < 2 {
				p.stop()
				return
			}
			p.passes[p.depth] = pass{body: p.pc, left: code[pc+1] - 1, k: code[pc+2], x: p.x}
			p.depth++
		case op == opClose && p.depth > 0:
			l := &p.passes[p.depth-1]
			if l.left > 0 {
				l.left--
				p.x += l.k
				p.pc = l.body
			} else {
				p.x = l.x
				p.depth--
			}
		default: // end, or a close outside a loop
			p.stop()
			return
		}
	}
}

// fade starts a fade of a slot; a slot that the layer does not have is passed over.
func (p *player) fade(fades []fade, slot, level uint8) {
	if int(slot) < len(fades) {
		fades[slot].set(level, p.f)
		p.busy = max(p.busy, p.f)
	}
}
