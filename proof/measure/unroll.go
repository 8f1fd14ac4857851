package measure

import (
	"fmt"

	"lampwright/program"
)

// fade is one fade of one slot, as a routine starts it.
type fade struct {
	slot, tick, ticks int
	level             uint8
}

// unroll reads the code of a routine by docs/image-format.md, section 4, and gives its fades in the order in which they start. It
// is written apart from the player on purpose: what one of them gets wrong the other does not.
func unroll(r *program.Routine) ([]fade, error) {
	type loop struct{ at, left, passes, shift int }
	var (
		fades          []fade
		loops          []loop
		at, x, f, tick int
	)
	code := r.Code
	for {
		if at >= len(code) {
			return nil, fmt.Errorf("the routine has no end")
		}
		op := int(code[at])
		operand := func(n int) int {
			if at+n < len(code) {
				return int(code[at+n])
			}
			return 0
		}
		switch {
		case op < 0x40:
			fades = append(fades, fade{(op + x) & 255, tick, f, uint8(operand(1))})
			at += 2
		case op == 0x40:
			tick += 64 + operand(1)
			at += 2
		case op < 0x80:
			tick += op - 0x40
			at++
		case op < 0xBF:
			f = op - 0x80
			at++
		case op == 0xBF:
			f = operand(1)
			at += 2
		case op == 0xC0, op == 0xC1:
			if tick != r.Ticks {
				return nil, fmt.Errorf("the routine ends at tick %d, it says %d", tick, r.Ticks)
			}
			return fades, nil
		case op == 0xC2:
			for i := range operand(2) {
				fades = append(fades, fade{(operand(1) + x + i) & 255, tick, f, uint8(operand(3))})
			}
			at += 4
		case op == 0xC3:
			shift := int(int8(operand(2)))
			loops = append(loops, loop{at + 3, operand(1), operand(1), shift})
			at += 3
		case op == 0xC4 && len(loops) > 0:
			l := &loops[len(loops)-1]
			if l.left--; l.left > 0 {
				x += l.shift
				at = l.at
			} else {
				x -= l.shift * (l.passes - 1)
				loops = loops[:len(loops)-1]
				at++
			}
		default:
			return nil, fmt.Errorf("operation %02x at byte %d is none", op, at)
		}
	}
}

// rest is a stretch in which a slot stands still: at least two ticks in a row, or the end of a routine.
type rest struct {
	slot, from int // tick
	level      uint8
}

// rests gives every rest of a routine over a number of slots.
func rests(r *program.Routine, slots int) ([]rest, error) {
	fades, err := unroll(r)
	if err != nil {
		return nil, err
	}
	var list []rest
	type state struct {
		level uint8
		from  int // tick from which the level stands, once the fade has run
	}
	now := make([]state, slots)
	stand := func(slot, until int) { // until: the last tick that shows the level
		if s := now[slot]; until > s.from {
			list = append(list, rest{slot, s.from, s.level})
		}
	}
	for _, f := range fades {
		if f.slot >= slots {
			return nil, fmt.Errorf("slot %d of %d is touched", f.slot, slots)
		}
		last := f.tick // a fade shows the old level once more in the tick in which it starts
		if f.ticks == 0 {
			last--
		}
		stand(f.slot, last)
		now[f.slot] = state{f.level, f.tick + f.ticks}
	}
	for slot := range now {
		if !r.Loops {
			list = append(list, rest{slot, now[slot].from, now[slot].level})
		} else {
			stand(slot, r.Ticks-1)
		}
	}
	return list, nil
}
