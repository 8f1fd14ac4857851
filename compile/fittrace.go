package compile

import "slices"

// arrived tells whether the routine's end is reached with c fades, and gives the best such way.
func (f *fitter) arrived(c int32) ([]fade, bool) {
	if f.loops {
		return f.arrivedUnseen(c)
	}
	best, bestMiss := int32(fromNothing), int64(0)
	mustRest := f.bandMayRest(f.last) // the last level stays
	for level := f.low[f.last]; level <= f.high[f.last]; level++ {
		s := f.state(f.last, level)
		n := &f.states[s]
		if n.cost == c && (best < 0 || n.miss < bestMiss) && (mayRest(level) || !mustRest) {
			best, bestMiss = s, n.miss
		}
	}
	if best < 0 {
		return nil, false
	}
	return f.trace(best, nil), true
}

// arrivedUnseen is arrived for a routine that loops: by a rest of the last tick shown, or by a fade that ends at the restart.
func (f *fitter) arrivedUnseen(c int32) ([]fade, bool) {
	best, bestMiss, byLate := int32(fromNothing), int64(0), false
	if late := &f.lates[f.last]; late.cost == c {
		best, bestMiss, byLate = late.prev, late.miss, true
	}
	before := f.last - 1
	for level := f.low[before]; level <= f.high[before]; level++ {
		s := f.state(before, level)
		if n := &f.states[s]; n.cost == c && (best < 0 || n.miss < bestMiss) {
			best, bestMiss, byLate = s, n.miss, false
		}
	}
	switch {
	case best < 0:
		return nil, false
	case byLate:
		return f.trace(best, []fade{f.fadeTo(best, f.last, int32(f.lates[f.last].level))}), true
	}
	return f.trace(best, nil), true
}

func (f *fitter) bandMayRest(tick int) bool {
	for level := f.low[tick]; level <= f.high[tick]; level++ {
		if mayRest(level) {
			return true
		}
	}
	return false
}

// trace follows the way back from a state; reversed holds the fades after it, the last one first.
func (f *fitter) trace(s int32, reversed []fade) []fade {
	for {
		n := &f.states[s]
		tick, level := f.place(s)
		switch n.how {
		case byStart:
			slices.Reverse(reversed)
			return reversed
		case byJump:
			reversed = append(reversed, fade{Tick: tick, Level: uint8(level)})
		case byFade:
			reversed = append(reversed, f.fadeTo(n.prev, tick, level))
		case byLateJump:
			reversed = append(reversed, fade{Tick: tick, Level: uint8(level)})
			late := &f.lates[tick]
			if late.prev == fromNothing { // a jump from the dark start
				slices.Reverse(reversed)
				return reversed
			}
			reversed = append(reversed, f.fadeTo(late.prev, tick, int32(late.level)))
			s = late.prev
			continue
		}
		s = n.prev
	}
}

// fadeTo is the fade from a state to a level at a later tick.
func (f *fitter) fadeTo(from int32, tick int, level int32) fade {
	start, _ := f.place(from)
	return fade{Tick: start, Level: uint8(level), Ticks: tick - start}
}
