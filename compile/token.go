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

// tokens writes moments as tokens, with waits between them and up to the end, and F set exactly where it changes.
func tokens(moments []moment, ticks int) []token {
	var out []token
	now, over := 0, uint8(0)
	wait := func(until int) {
		for now < until {
			n := min(until-now, maxWait)
			out = append(out, token{kind: waitToken, value: uint16(n)})
			now += n
		}
	}
	for _, m := range moments {
		wait(m.events[0].tick)
		for _, length := range m.overs {
			if length != over {
				over = length
				out = append(out, overTo(over))
			}
			for _, e := range m.events {
				if e.ticks == over {
					out = append(out, token{kind: fadeToken, slot: e.slot, value: uint16(e.level)})
				}
			}
		}
	}
	wait(ticks)
	return out
}

func overTo(ticks uint8) token { return token{kind: overToken, value: uint16(ticks)} }
