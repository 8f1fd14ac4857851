package program

import (
	"fmt"
)

// walked is what one pass through a routine showed.
type walked struct {
	ticks int  // until its end, or until it begins again
	loops bool // begins again
	reach int  // one more than the highest slot touched
}

// flaw is the first reason why a routine is refused.
type flaw struct {
	at          int // byte within the routine
	what, limit string
}

// routineBytes gives the length of the routine at the start of code, its end included, or a flaw.
func routineBytes(code []byte) (int, *flaw) {
	for at := 0; at < len(code); {
		n := opLength(code[at])
		if n == 0 {
			return 0, &flaw{at, fmt.Sprintf("unknown operation 0x%02x", code[at]), "0x00..0xc4"}
		}
		if at+n > len(code) {
			break
		}
		if code[at] == opEnd || code[at] == opAgain {
			return at + n, nil
		}
		at += n
	}
	return 0, &flaw{len(code), "a routine without an end", "end or again before the image's check"}
}

// walk executes a routine once, as a player would at one tick a frame, and refuses what a player would stop at. It takes
// the operations from the budget.
func walk(code []byte, budget *int) (walked, *flaw) {
	whole, f := routineBytes(code)
	if f != nil {
		return walked{}, f
	}
	if whole != len(code) {
		return walked{}, &flaw{whole, "code after the routine's end", "none"}
	}
	w := walker{code: code, budget: budget}
	for !w.over {
		if f := w.step(); f != nil {
			return walked{}, f
		}
	}
	return w.found, nil
}

// walker is a player without light.
type walker struct {
	code   []byte
	budget *int
	found  walked
	over   bool
	pc     int
	x      uint8
	depth  int
	passes [MaxLoopDepth]pass
	done   int // operations of this tick
	first  int // operations of tick 0
}

func (w *walker) step() *flaw {
	at := w.pc
	op := w.code[at]
	cost := 1
	if op == opSpan {
		cost = int(w.code[at+2])
		if cost < 1 || cost > maxSpan {
			return &flaw{at, fmt.Sprintf("a span of %d slots", cost), "1..64"}
		}
	}
	if w.done += cost; w.done > MaxOpsPerTick {
		return &flaw{at, "more than 255 operations in one tick", "255, a span of n counts n"}
	}
	if *w.budget -= cost; *w.budget < 0 {
		return &flaw{at, "the routines execute more operations than the check allows", fmt.Sprintf("%d in all routines together", MaxPassOps)}
	}
	w.pc += opLength(op)
	switch {
	case op < opWait:
		w.touch(op+w.x, 1)
	case op == opWait:
		return w.rest(at, longWaitBase+int(w.code[at+1]))
	case op < opOver:
		return w.rest(at, int(op-opWait))
	case op <= opOverLong:
	case op == opEnd, op == opAgain:
		return w.finish(at, op == opAgain)
	case op == opSpan:
		w.touch(w.code[at+1]+w.x, cost)
	case op == opLoop:
		return w.enter(at)
	case op == opClose:
		return w.leave(at)
	}
	return nil
}

// touch notes n slots from one on, counted modulo 256.
func (w *walker) touch(slot uint8, n int) {
	last := int(slot) + n - 1
	if last > 255 {
		w.found.reach = 256
	}
	w.found.reach = max(w.found.reach, last+1)
}

func (w *walker) rest(at, ticks int) *flaw {
	if w.found.ticks == 0 {
		w.first = w.done
	}
	if w.found.ticks += ticks; w.found.ticks > MaxTicks {
		return &flaw{at, "a routine that is too long", "65535 ticks"}
	}
	w.done = 0
	return nil
}

func (w *walker) finish(at int, again bool) *flaw {
	switch {
	case w.depth > 0:
		return &flaw{at, "the routine ends inside a loop", "an end outside all loops"}
	case again && w.found.ticks == 0:
		return &flaw{at, "the routine begins again without a wait", "at least one tick"}
	case again && w.done+w.first > MaxOpsPerTick:
		return &flaw{at, "more than 255 operations in the tick in which the routine begins again", "255, with those of tick 0"}
	}
	w.found.loops, w.over = again, true
	return nil
}

func (w *walker) enter(at int) *flaw {
	if w.depth == MaxLoopDepth {
		return &flaw{at, "a loop within two loops", "2 deep"}
	}
	n := w.code[at+1]
	if n < 2 {
		return &flaw{at, fmt.Sprintf("a loop of %d passes", n), "2..255"}
	}
	w.passes[w.depth] = pass{body: uint16(w.pc), left: n - 1, k: w.code[at+2], x: w.x}
	w.depth++
	return nil
}

func (w *walker) leave(at int) *flaw {
	if w.depth == 0 {
		return &flaw{at, "the end of a loop that was not begun", "one for each loop"}
	}
	l := &w.passes[w.depth-1]
	if l.left > 0 {
		l.left--
		w.x += l.k
		w.pc = int(l.body)
		return nil
	}
	w.x = l.x
	w.depth--
	return nil
}
