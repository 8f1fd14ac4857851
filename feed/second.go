package feed

import (
	"cmp"
	"math"
	"slices"

	"lampwright/report"
	"lampwright/units"
)

// How a second function shows in a record, s. Common practice, no source: a wire dimmed for the first one goes high for the second.
const (
	longestDim = 0.0065 // a high: half of a period of 80 Hz, and a little more
	leastRow   = 8      // dimmed highs in a row
	surelyTest = 0.0031 // a longer high tests nothing
	edgePulse  = 0.0125 // a period of 80 Hz
	leastFull  = 0.05   // high for so long, or high again and again with a large share
)

// shared finds a wire on which two functions come: highs that dim, and beside them highs that last, or come with a large share. It sums
// them up and gives true; where the short highs may be test pulses as well it says so and leaves them to be those.
func (x *reading) shared() bool {
	var highs []piece
	for _, s := range x.stretches {
		highs = append(highs, s.highs...)
	}
	dims, full := make([]bool, len(highs)), make([]bool, len(highs))
	for i, h := range highs {
		period, length := 0.0, h.length() // to the nearer neighbour's rise; 0: none is near
		if i+1 < len(highs) && highs[i+1].from-h.to <= longestLow {
			period = highs[i+1].from - h.from
		} else if i > 0 && h.from-highs[i-1].to <= longestLow {
			period = h.from - highs[i-1].from
		}
		dims[i] = length <= longestDim && length < period/2
		full[i] = length > leastFull || length > shortestOn && length >= leastChopped*period && period > 0
	}
	var firsts, seconds []stretch
	var first, second []Pulses
	for _, s := range rows(highs, dims) {
		if p, regular := s.pulses(); regular && len(s.highs) >= leastRow && float64(p.At) >= slowestTests && p.Duty >= leastDimmed {
			firsts, first = append(firsts, s), append(first, p)
		}
	}
	for _, s := range rows(highs, full) {
		if s.length() < leastFull {
			continue
		}
		seconds = append(seconds, s)
		if p, regular := s.pulses(); regular {
			second = append(second, p)
		}
	}
	if len(firsts) == 0 || len(seconds) == 0 {
		return false
	}
	if p := tidied(first[0]); float64(p.At) <= fastestTests && float64(p.Duty)/float64(p.At) <= surelyTest {
		x.doubt("scope-tested-or-shared", "test pulses of some cars come as often, and so do the pulses of a dimmed tail", "record the wire with the tail surely on and the brake surely off",
			"the short pulses (%s) may test the lamp, or dim a second function on this wire", p)
		return false
	}
	x.sum.Shared = true
	x.pulses(first)
	on := slices.Concat(firsts, seconds)
	slices.SortFunc(on, func(a, b stretch) int { return cmp.Compare(a.from(), b.from()) })
	x.tests(x.rest(on), on)
	x.offLevel(on)
	for _, s := range on {
		x.sum.OnSeen += units.Seconds(s.length())
	}
	x.sum.Second.Kind = Steady
	if len(second) > 0 {
		x.sum.Second.Chopped = x.chopped(tidied(second[0]))
	}
	return true
}

// rows gives the highs that are marked, those in a row without a long low between them together.
func rows(highs []piece, marked []bool) (out []stretch) {
	for i, h := range highs {
		if !marked[i] {
			continue
		}
		if i == 0 || !marked[i-1] || h.from-highs[i-1].to > longestLow {
			out = append(out, stretch{})
		}
		s := &out[len(out)-1]
		s.highs = append(s.highs, h)
	}
	return out
}

// rest gives what is too short to be on and stands in none of the stretches, nor so near to one that it is a pulse of it cut short: test
// pulses.
func (x *reading) rest(on []stretch) (out []stretch) {
	next := 0
	for _, s := range x.stretches {
		for _, h := range s.highs {
			for next < len(on) && on[next].to() < h.from {
				next++
			}
			if h.length() <= longestTest && (next == len(on) || h.to+edgePulse < on[next].from()) && (next == 0 || h.from > on[next-1].to()+edgePulse) {
				out = append(out, stretch{highs: []piece{h}})
			}
		}
	}
	return out
}

// tidied rounds pulses as a car holds them.
func tidied(p Pulses) Pulses {
	return Pulses{units.Share(math.Round(float64(p.Duty)*100) / 100), units.Frequency(tidy(float64(p.At)))}
}

// chopped makes what a wire does while it is high of the pulses that were seen then.
func (x *reading) chopped(p Pulses) Chopping {
	c := Chopping{Above: min(usualAbove, max(minAbove, x.sum.On-0.1)), Pulses: p}
	x.doubt("scope-chopped-above", "one record does not show at which supply chopping begins", "record with the engine off as well, and enter the voltage between the two",
		"the wire is chopped at %s; that it is so above %s is taken from practice", x.sum.On, c.Above)
	return c
}

// Tells tells whether a module can tell the two functions of a shared wire; of another wire there is nothing to tell.
func (s Summary) Tells() report.List {
	if !s.Shared {
		return nil
	}
	return Share(s.Feed, s.Second)
}
