package compile

import (
	"cmp"
	"slices"

	"lampwright/program"
)

// event starts a fade of one slot.
type event struct {
	tick  int
	slot  uint8
	level uint8
	ticks uint8 // of the fade; 0 jumps
}

// The parts of routine code before loops are found in it.
const (
	fadeToken uint8 = iota // slot to a level
	waitToken              // ticks, 1..319
	overToken              // F, ticks, 0..255
)

type token struct {
	kind  uint8
	slot  uint8
	value uint16
}

// What operations of routine code take; docs/image-format.md, section 4. program.Coder writes them.
const (
	maxShortWait = 63       // ticks in one byte
	maxWait      = 64 + 255 // ticks in two bytes
	maxShortOver = 62       // ticks in one byte
	spanBytes    = 4        // of any length
	loopBytes    = 4        // with its close
)

// bytes is the size of a token by itself.
func (t token) bytes() int32 {
	switch {
	case t.kind == waitToken && t.value <= maxShortWait, t.kind == overToken && t.value <= maxShortOver:
		return 1
	}
	return 2
}

// write writes the token by itself.
func (t token) write(to *program.Coder) {
	switch t.kind {
	case fadeToken:
		to.Fade(int(t.slot), uint8(t.value))
	case waitToken:
		to.Wait(int(t.value))
	case overToken:
		to.Over(int(t.value))
	}
}

// sortEvents puts events in order of time; within a tick jumps come first, since a jump and a fade of one slot in one tick
// are meant in that order, then shorter fades before longer ones, then by slot.
func sortEvents(events []event) {
	slices.SortFunc(events, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.tick, b.tick), cmp.Compare(a.ticks, b.ticks), cmp.Compare(a.slot, b.slot))
	})
}

// tokens writes sorted events as tokens, with waits between them and up to the end, and F set exactly where it changes. With
// sticky, a tick goes on with the F of the tick before where it can; else every tick begins with its least F, which makes
// ticks more alike.
func tokens(events []event, ticks int, sticky bool) []token {
	var out []token
	now, over := 0, uint8(0)
	wait := func(until int) {
		for now < until {
			n := min(until-now, maxWait)
			out = append(out, token{kind: waitToken, value: uint16(n)})
			now += n
		}
	}
	emit := func(e event) {
		if e.ticks != over {
			over = e.ticks
			out = append(out, token{kind: overToken, value: uint16(over)})
		}
		out = append(out, token{kind: fadeToken, slot: e.slot, value: uint16(e.level)})
	}
	for len(events) > 0 {
		n := 1
		for n < len(events) && events[n].tick == events[0].tick {
			n++
		}
		tick := events[:n]
		events = events[n:]
		wait(tick[0].tick)
		first := over
		if !sticky || !mayLead(tick, first) {
			first = tick[0].ticks
		}
		for _, e := range tick {
			if e.ticks == first {
				emit(e)
			}
		}
		for _, e := range tick {
			if e.ticks != first {
				emit(e)
			}
		}
	}
	wait(ticks)
	return out
}

// mayLead tells whether the fades of one length may come first in their tick: their slots have no other event in it.
func mayLead(tick []event, ticks uint8) bool {
	var leads, others [256]bool
	any := false
	for _, e := range tick {
		if e.ticks == ticks {
			leads[e.slot], any = true, true
		} else {
			others[e.slot] = true
		}
	}
	for slot := range leads {
		if leads[slot] && others[slot] {
			return false
		}
	}
	return any
}
