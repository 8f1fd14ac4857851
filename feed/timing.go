package feed

import (
	"math"

	"lampwright/units"
)

// How the module samples, in nanoseconds: a refresh is 0.5 ms by a clock that is off by 0.5 % at the worst (crystal or ceramic
// resonator; the doubt that the boards state).
const (
	refreshNS    = int64(500_000)
	shortRefresh = refreshNS * 995 / 1000
	longRefresh  = refreshNS * 1005 / 1000
)

// most is how many samples can fall into a span of ns, at any phase and clock.
func most(ns int64) int { return int(ns/shortRefresh) + 1 }

// least is how many samples fall into a span of ns at any phase and clock.
func least(ns int64) int { return int(ns / longRefresh) }

func nanos(t units.Time) int64 { return int64(t) * 1000 }

// micros rounds nanoseconds up to whole microseconds.
func micros(ns int64) units.Time { return units.Time((ns + 999) / 1000) }

// cycle is a pulsed wire as the module samples it, ns.
type cycle struct {
	period, high, low int64
	gap               int64 // longest time without a sample of a high part
	hits              int   // samples that surely fall into a high part; 0: a high part may be missed, but never two in a row
}

// sampled gives the cycle of a pulsed wire; false when high parts can be missed again and again.
func (p Pulses) sampled() (cycle, bool) {
	exact := 1e9 / float64(p.At)
	c := cycle{
		period: int64(math.Round(exact)),
		high:   int64(math.Ceil(exact * float64(p.Duty))),
		low:    int64(math.Ceil(exact * (1 - float64(p.Duty)))),
	}
	c.hits, c.gap = least(c.high), c.low
	if c.hits == 0 {
		c.gap = c.low + c.period
		return c, !c.missesTwo()
	}
	return c, true
}

// missesTwo tells whether, at some clock, two high parts in a row can fall between samples.
//
// With a refresh T longer than the high part h, a part is missed at T - h of the T phases. A period P moves the phase by the
// distance of P from the nearest multiple kT, so two in a row can be missed when |P - kT| < T - h. The difference of the two
// sides is convex in T: it is least at T = P/k or at an end of the range.
func (c cycle) missesTwo() bool {
	from := max(shortRefresh, c.high)
	for k := c.period / longRefresh; k <= c.period/shortRefresh+1; k++ {
		if k == 0 {
			continue
		}
		for _, t := range []int64{from, longRefresh} {
			off := c.period - k*t
			if max(off, -off) < t-c.high {
				return true
			}
		}
		// At T = P/k the sides differ by h - P/k; less than a nanosecond a period is rounding.
		if c.period >= k*from && c.period <= k*longRefresh && k*(c.high+1) < c.period {
			return true
		}
	}
	return false
}
