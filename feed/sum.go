package feed

import (
	"math"
	"slices"

	"lampwright/report"
	"lampwright/units"
)

// Summary is what a record shows, and the feed that it looks like. A part that was not seen is zero.
type Summary struct {
	Length, Step units.Time    // of the record, and between samples (median)
	On, Off      units.Voltage // median while on, and while off for long
	OnSeen       units.Time    // how long the wire was on, and off, in all
	OffSeen      units.Time
	Pulses       Pulses      // while on
	TestPulse    TestPulse   // while off
	Rate         float64     // flashes a minute
	Share        units.Share // of a flash that is on
	Bounce       units.Time  // longest time that an edge took to come to rest
	Feed         Feed        // passes Check
	Shared       bool        // a second function comes on the wire as well: Feed is of the first, which dims it
	Second       Feed        // what the wire does for that one
	Doubts       report.List // what the record cannot tell, or tells with little certainty
}

// How a record is read, s and V. Common practice, no source: car wires are pulsed at 20 Hz or more, test pulses are up to 3 ms long
// and 10 ms or more apart; what is high for longer than 5 ms is on, and what lies between is told as a test pulse, and judged as one.
const (
	longestLow    = 0.045 // a longer low is off; less is the low part of pulses
	longestTest   = 0.0046
	shortestOn    = 0.005
	noFlash       = 1.0   // on for so long is no flash
	quickestFlash = 0.25  // from one flash to the next: twice as often as 120 a minute
	slowestFlash  = 2.5   // likewise: 24 a minute
	shortestQuiet = 0.003 // beside a test pulse
	slowestTests  = 75.0  // Hz: short pulses that come more often dim
	fastestTests  = 110.0 // Hz: and at most so often they may be tests all the same
	leastDimmed   = 0.045
	leastChopped  = 0.75    // share: more spares bulbs, less dims
	leastDark     = 0.02    // off for less gives no off level
	coarsest      = 0.00011 // between samples; test pulses may last 0.1 ms
	floats        = 0.8     // V: less is a ground, not a leak
	usualAbove    = 13.2    // V, common practice
	hysteresis    = 0.2     // share of the swing
)

// stretch is a time during which the wire is high, or high again and again, without a long low.
type stretch struct {
	highs []piece // in order
	cut   bool    // it runs into an end of the record
}

// piece is a time during which the wire is on one side, s.
type piece struct{ from, to float64 }

func (p piece) length() float64 { return p.to - p.from }

func (s stretch) from() float64   { return s.highs[0].from }
func (s stretch) to() float64     { return s.highs[len(s.highs)-1].to }
func (s stretch) length() float64 { return s.to() - s.from() }

// Sum reads a record. levels are the thresholds of the input that the wire will meet: what never reaches the upper one is off. The
// record must come from ReadScope, or its times must ascend.
func (r Record) Sum(levels Thresholds) Summary {
	n := len(r.At)
	if n < 2 {
		return Summary{Feed: Feed{Kind: Steady}, Doubts: report.List{report.Cautionf("scope-short", report.Place{File: r.Name}, "there is no record").Do("record the wire")}}
	}
	x := reading{record: r}
	x.sum.Length = units.Seconds(r.At[n-1] - r.At[0])
	steps := make([]float64, n-1)
	for i := range steps {
		steps[i] = r.At[i+1] - r.At[i]
	}
	x.step = median(steps)
	x.sum.Step = units.Seconds(x.step)
	x.sum.Feed.Kind = Steady
	x.split(levels)
	x.classify()
	x.settle()
	x.sum.Doubts.Sort()
	return x.sum
}

// reading is a summary in the making.
type reading struct {
	record    Record
	step      float64 // s
	stretches []stretch
	sum       Summary
}

func (x *reading) doubt(id, why, next, format string, args ...any) {
	x.sum.Doubts.Add(report.Cautionf(id, report.Place{File: x.record.Name}, format, args...).Because("%s", why).Do("%s", next))
}

// split finds highs with a hysteresis between the two levels of the record, and joins them to stretches.
func (x *reading) split(levels Thresholds) {
	var above, below []float64
	for _, v := range x.record.Volts {
		if v >= float64(levels.HighFrom) {
			above = append(above, v)
		} else {
			below = append(below, v)
		}
	}
	at, v := x.record.At, x.record.Volts
	end := at[len(at)-1]
	if len(above) == 0 {
		return
	}
	high, low := median(above), 0.0
	if len(below) > 0 {
		low = median(below)
	}
	x.sum.On = rounded(high)
	rise, fall := low+(0.5+hysteresis/2)*(high-low), low+(0.5-hysteresis/2)*(high-low)
	up := v[0] >= (rise+fall)/2
	since := at[0]
	var highs []piece
	for i := 1; i < len(v); i++ {
		level := rise
		if up {
			level = fall
		}
		if up == (v[i] >= level) {
			continue
		}
		cross := at[i]
		if v[i] != v[i-1] {
			part := (level - v[i-1]) / (v[i] - v[i-1])
			cross = at[i-1] + min(max(part, 0), 1)*(at[i]-at[i-1])
		}
		if up {
			highs = append(highs, piece{since, cross})
		}
		up, since = !up, cross
	}
	if up {
		highs = append(highs, piece{since, end})
	}
	x.join(highs, at[0], end)
}

func (x *reading) join(highs []piece, start, end float64) {
	for i, h := range highs {
		if i == 0 || h.from-highs[i-1].to > longestLow {
			x.stretches = append(x.stretches, stretch{cut: i == 0 && h.from-start < longestLow})
		}
		s := &x.stretches[len(x.stretches)-1]
		s.highs = append(s.highs, h)
	}
	if n := len(highs); n > 0 && end-highs[n-1].to < longestLow {
		x.stretches[len(x.stretches)-1].cut = true
	}
}

// part takes test pulses that come soon before or after the wire is on out of its stretch: highs that are short, stand apart, and
// are no end of a row of pulses.
func (s stretch) part() []stretch {
	short := make([]bool, len(s.highs))
	shorts, longs := 0, 0
	for i, h := range s.highs {
		alone := (i == 0 || h.from-s.highs[i-1].to >= shortestQuiet) && (i == len(s.highs)-1 || s.highs[i+1].from-h.to >= shortestQuiet)
		switch {
		case h.length() > shortestOn:
			longs++
		case h.length() <= longestTest && alone:
			short[i] = true
			shorts++
		}
	}
	if longs == 0 || shorts == 0 || longs > 1 && shorts <= longs {
		return []stretch{s}
	}
	var out []stretch
	for i, h := range s.highs {
		if i == 0 || short[i] != short[i-1] || h.from-s.highs[i-1].to > longestLow || short[i-1] {
			out = append(out, stretch{cut: s.cut && (i == 0 || i == len(s.highs)-1)})
		}
		last := &out[len(out)-1]
		last.highs = append(last.highs, h)
	}
	return out
}

// classify tells stretches that are on from test pulses, and measures both.
func (x *reading) classify() {
	if x.shared() {
		return
	}
	var on, tests []stretch
	var pulsed []Pulses
	var parted []stretch
	for _, s := range x.stretches {
		parted = append(parted, s.part()...)
	}
	anyLong := slices.ContainsFunc(x.stretches, func(s stretch) bool {
		return slices.ContainsFunc(s.highs, func(h piece) bool { return h.length() > shortestOn })
	})
	for _, s := range parted {
		p, regular := s.pulses()
		longest := 0.0
		for _, h := range s.highs {
			longest = max(longest, h.length())
		}
		dims := regular && float64(p.At) >= slowestTests && p.Duty >= leastDimmed
		switch {
		case longest <= longestTest && (anyLong || !dims):
			tests = append(tests, s)
			continue
		case regular:
			pulsed = append(pulsed, p)
			if longest <= longestTest && float64(p.At) <= fastestTests {
				x.doubt("scope-dimmed-or-tested", "test pulses of some cars come as often", "record the wire with the lamp surely off, and once surely on",
					"pulses of %s at %s may dim the lamp or test it", units.Seconds(longest).String(), p.At)
			}
		}
		on = append(on, s)
	}
	x.pulses(pulsed)
	x.tests(tests, on)
	x.flashes(on)
	x.offLevel(on)
	for _, s := range on {
		x.sum.OnSeen += units.Seconds(s.length())
		x.sum.Bounce = max(x.sum.Bounce, s.bounce(x.sum.Pulses != (Pulses{})))
	}
}

// pulses gives duty and frequency of a stretch whose highs come regularly.
func (s stretch) pulses() (Pulses, bool) {
	if len(s.highs) < 4 {
		return Pulses{}, false
	}
	var periods, highs []float64
	for i := 1; i < len(s.highs); i++ {
		periods = append(periods, s.highs[i].from-s.highs[i-1].from)
		if i < len(s.highs)-1 { // the first and the last may be cut
			highs = append(highs, s.highs[i].length())
		}
	}
	period := median(periods)
	near, total := 0, 0.0
	for _, p := range periods {
		if math.Abs(p-period) <= period*0.15 {
			near++
			total += p
		}
	}
	if 10*near < 7*len(periods) {
		return Pulses{}, false
	}
	period = total / float64(near)
	return Pulses{units.Share(median(highs) / period), units.Frequency(1 / period)}, true
}

// bounce is how long the edges of a stretch take to come to rest. Of a pulsed stretch it is not known.
func (s stretch) bounce(pulsed bool) units.Time {
	if pulsed || len(s.highs) == 1 {
		return 0
	}
	longest := 0
	for i, h := range s.highs {
		if h.length() > s.highs[longest].length() {
			longest = i
		}
	}
	return units.Seconds(max(s.highs[longest].from-s.from(), s.to()-s.highs[longest].to))
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	sorted := slices.Clone(v)
	slices.Sort(sorted)
	return (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2
}

// rounded gives a voltage in tenths.
func rounded(v float64) units.Voltage { return units.Voltage(math.Round(v*10) / 10) }
