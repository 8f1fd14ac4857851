package programtest

import (
	"slices"

	"lampwright/program"

	"pgregory.net/rapid"
)

// turnInputs are the inputs at which turns of stop-and-turn wires are read. Nothing else hangs there.
var turnInputs = []uint8{5, 6, 7}

// randomWires draws the stop-and-turn wires of a module, without their references: often none, at most two.
func randomWires(t *rapid.T) (wires []program.StopTurn) {
	n := rapid.SampledFrom([]int{1, 0, 2}).Draw(t, "stop-and-turn wires")
	on := rapid.Permutation([]uint8{0, 1, 2, 3, 4}).Draw(t, "wires")
	at := rapid.Permutation(turnInputs).Draw(t, "turns")
	for i := range n {
		wires = append(wires, program.StopTurn{Used: true, Wire: on[i], Turn: at[i]})
	}
	return wires
}

// stopTurns draws the stop-and-turn wires of a safe block that suits a program: those that its paced layers need, and for
// other turns that its layers ask for, mostly, some wire.
func stopTurns(t *rapid.T, p *program.Program) (drawn [2]program.StopTurn) {
	var wires []program.StopTurn
	var asked uint8
	for hand := p; hand != nil; hand = hand.Other {
		for i := range hand.Layers {
			l := &hand.Layers[i]
			asked |= l.InputMask
			if l.Pace < 0 || l.InputMask == hand.PacerInput[l.Pace] {
				continue
			}
			w := program.StopTurn{Used: true, Wire: inputOf(hand.PacerInput[l.Pace]), Turn: inputOf(l.InputMask)}
			if !slices.Contains(wires, w) {
				wires = append(wires, w)
			}
		}
	}
	for _, turn := range rapid.Permutation(turnInputs).Draw(t, "other turns") {
		taken := func(w program.StopTurn) bool { return w.Turn == turn }
		often := 6
		if asked>>turn&1 == 1 {
			often = 1
		}
		if len(wires) < 2 && !slices.ContainsFunc(wires, taken) && chance(t, "another wire", often) {
			wires = append(wires, program.StopTurn{Used: true, Wire: freeWire(t, wires), Turn: turn})
		}
	}
	for i := range wires {
		for wires[i].Reference = wires[i].Wire; wires[i].Reference == wires[i].Wire; {
			wires[i].Reference = rapid.Uint8Range(0, inputs-1).Draw(t, "reference")
		}
	}
	if len(wires) == 1 && rapid.Bool().Draw(t, "second place") {
		drawn[1] = wires[0]
		return drawn
	}
	copy(drawn[:], wires)
	return drawn
}

// freeWire draws an input on which no other of the wires is.
func freeWire(t *rapid.T, wires []program.StopTurn) uint8 {
	var free []uint8
	for i := range uint8(inputs) {
		if !slices.ContainsFunc(wires, func(w program.StopTurn) bool { return w.Wire == i }) {
			free = append(free, i)
		}
	}
	return rapid.SampledFrom(free).Draw(t, "wire")
}

// inputOf gives the input of a mask of one bit.
func inputOf(mask uint8) (input uint8) {
	for ; mask > 1; mask >>= 1 {
		input++
	}
	return input
}

// carry draws a stop-and-turn wire together with its reference, until both have come so far: brakes, flashes, both at once,
// and a reference or a wire that is broken.
func carry(t *rapid.T, wire, reference *line, until int) {
	w, r := &lever{line: wire}, &lever{line: reference}
	for now := 0; now < until; {
		now += rapid.IntRange(1, 2500).Draw(t, "before")
		skew := rapid.SampledFrom([]int{0, 0, 5, 20, 40, 47, 48, 49, 60}).Draw(t, "skew")
		first, second := w, r
		if rapid.Bool().Draw(t, "reference first") {
			first, second = r, w
		}
		switch kind := rapid.IntRange(0, 6).Draw(t, "carries"); kind {
		case 0, 1: // a brake, with flashes in it or not
			first.set(now, true)
			second.set(now+skew, true)
			now += skew + rapid.IntRange(1, 1500).Draw(t, "brake")
			if kind == 1 {
				now = w.flashes(t, now, false)
			}
			first.set(now, false)
			second.set(now+skew, false)
			now += skew
		case 2, 3: // a flasher; in some of its flashes the brake comes and goes
			from := now
			now = w.flashes(t, now, true)
			if kind == 3 {
				at := from + rapid.IntRange(0, max(now-from, 1)).Draw(t, "brake comes")
				r.set(at, true)
				now = max(now, at+rapid.IntRange(1, 2000).Draw(t, "brake"))
				r.set(now, false)
			}
		case 4: // the wire alone
			w.set(now, true)
			now += rapid.OneOf(rapid.IntRange(1, 3000), rapid.IntRange(2000, 3500)).Draw(t, "wire alone")
			w.set(now, false)
		case 5: // the reference alone
			r.set(now, true)
			now += rapid.IntRange(1, 3000).Draw(t, "reference alone")
			r.set(now, false)
		default: // a flash and a brake right after it
			now = w.flashes(t, now, true) + rapid.IntRange(1, 1500).Draw(t, "then the brake")
			w.set(now, true)
			r.set(now+skew, true)
			now += skew + rapid.IntRange(1, 2000).Draw(t, "brake")
			r.set(now, false)
			w.set(now+skew, false)
			now += skew
		}
	}
	wire.now, reference.now = max(until, wire.now), max(until, reference.now)
}

// lever sets a line by moments in ascending order.
type lever struct {
	line *line
	on   bool
}

// set turns the line on or off at a refresh; a moment that has passed is the next that has not.
func (l *lever) set(at int, on bool) {
	if on == l.on {
		return
	}
	l.line.hold(max(at-l.line.now, 1))
	l.on = on
}

// flashes draws a flasher that begins with a flash, on or off, and gives the refresh after it.
func (l *lever) flashes(t *rapid.T, now int, on bool) int {
	long, gap := rapid.IntRange(40, 1400).Draw(t, "flash"), rapid.IntRange(40, 1300).Draw(t, "gap")
	was := l.on
	for range rapid.IntRange(1, 5).Draw(t, "flashes") {
		l.set(now, on)
		now += long
		l.set(now, !on)
		now += gap
	}
	l.set(now, was)
	return now
}
