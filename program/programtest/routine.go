package programtest

import (
	"lampwright/program"

	"pgregory.net/rapid"
)

// length says which routines are wanted.
type length int

const (
	maybe length = iota // ends or begins again
	long                // begins again after 250 ticks or more, as the link wire demands
)

const (
	longTicks   = 250
	maxPasses   = 4  // of a random loop
	maxSpan     = 10 // slots: with it no tick passes program.MaxOpsPerTick
	maxItems    = 4  // of a random loop body
	waitMore    = 64 // ticks of the shortest two-byte wait
	longestWait = waitMore + 255
)

// writer writes routine code and knows how far it goes.
type writer struct {
	t      *rapid.T
	slots  int
	code   []byte
	lo, hi int // least and greatest X that the code being written can meet
}

// routine draws a valid routine over a number of slots.
func routine(t *rapid.T, slots int, want length) *program.Routine {
	w := &writer{t: t, slots: slots}
	ticks := 0
	if rapid.IntRange(0, 5).Draw(t, "paint all") == 0 {
		w.code = append(w.code, 0xC2, 0, byte(slots), w.level())
	}
	for range rapid.IntRange(1, 5).Draw(t, "items") {
		ticks += w.item(0)
	}
	loops := want == long || rapid.Bool().Draw(t, "begins again")
	if want == long {
		for ticks < longTicks {
			ticks += w.wait(longTicks)
		}
	} else if loops && ticks == 0 || rapid.Bool().Draw(t, "rest") {
		ticks += w.wait(rapid.IntRange(1, longestWait).Draw(t, "rest ticks"))
	}
	if loops {
		w.code = append(w.code, 0xC1)
	} else {
		w.code = append(w.code, 0xC0)
	}
	return &program.Routine{Ticks: ticks, Loops: loops, Code: w.code}
}

func (w *writer) level() byte {
	return byte(rapid.OneOf(rapid.SampledFrom([]int{0, 255}), rapid.IntRange(0, 255)).Draw(w.t, "level"))
}

// item writes one operation, or a loop of them, and gives its ticks.
func (w *writer) item(depth int) int {
	kind := rapid.IntRange(0, 9).Draw(w.t, "item")
	switch {
	case kind < 4:
		first, last := -w.lo, w.slots-1-w.hi
		if first > last {
			return 0
		}
		slot := rapid.IntRange(first, last).Draw(w.t, "slot")
		if kind == 0 || slot < 0 || slot > 63 {
			n := rapid.IntRange(1, min(maxSpan, last-slot+1)).Draw(w.t, "span")
			w.code = append(w.code, 0xC2, byte(slot), byte(n), w.level())
		} else {
			w.code = append(w.code, byte(slot), w.level())
		}
		return 0
	case kind < 6:
		f := rapid.IntRange(0, 60).Draw(w.t, "fade ticks")
		switch rapid.IntRange(0, 5).Draw(w.t, "fade kind") {
		case 0:
			f = 0
		case 1:
			w.code = append(w.code, 0xBF, byte(rapid.IntRange(0, 255).Draw(w.t, "long fade ticks")))
			return 0
		}
		w.code = append(w.code, 0x80+byte(f))
		return 0
	case kind < 8 || depth == program.MaxLoopDepth:
		return w.wait(rapid.IntRange(1, 40).Draw(w.t, "wait"))
	default:
		return w.loop(depth)
	}
}

// loop writes a loop whose passes end in a wait, so that a tick holds one pass at most.
func (w *writer) loop(depth int) int {
	passes := rapid.IntRange(2, maxPasses).Draw(w.t, "passes")
	k := rapid.IntRange(-3, 3).Draw(w.t, "shift")
	w.code = append(w.code, 0xC3, byte(passes), byte(k))
	lo, hi := w.lo, w.hi
	w.lo += min(0, k*(passes-1))
	w.hi += max(0, k*(passes-1))
	ticks := 0
	for range rapid.IntRange(1, maxItems).Draw(w.t, "items") {
		ticks += w.item(depth + 1)
	}
	ticks += w.wait(rapid.IntRange(1, 20).Draw(w.t, "pass wait"))
	w.code = append(w.code, 0xC4)
	w.lo, w.hi = lo, hi
	return ticks * passes
}

// wait writes a wait of 1..longestWait ticks.
func (w *writer) wait(ticks int) int {
	if ticks < waitMore {
		w.code = append(w.code, 0x40+byte(ticks))
	} else {
		w.code = append(w.code, 0x40, byte(ticks-waitMore))
	}
	return ticks
}
