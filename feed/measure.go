package feed

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampwright/report"
	"lampwright/units"
)

// pulses sums up the pulses of all stretches that have them.
func (x *reading) pulses(seen []Pulses) {
	if len(seen) == 0 {
		return
	}
	var duty, at []float64
	for _, p := range seen {
		duty, at = append(duty, float64(p.Duty)), append(at, float64(p.At))
	}
	x.sum.Pulses = Pulses{units.Share(math.Round(median(duty)*100) / 100), units.Frequency(tidy(median(at)))}
	if spread := slices.Max(duty) - slices.Min(duty); spread > 0.05 {
		x.doubt("scope-uneven", "one feed has one duty", "record the wire in one state at a time", "the duty differs by %s between stretches", units.Share(math.Round(spread*100)/100))
	}
	if part := min(median(duty), 1-median(duty)) / median(at); part < 5*x.step {
		x.doubt("scope-coarse", "fewer than five samples fall into the shorter part of a period", "record with more samples a second",
			"with a sample every %s the duty is known to ±%.0f %% only", units.Seconds(x.step), math.Ceil(100*x.step*median(at)))
	}
}

// tests measures test pulses: the longest width and the least spacing between two that nothing stands between.
func (x *reading) tests(tests, on []stretch) {
	var rises []float64
	width := 0.0
	for _, s := range tests {
		for _, h := range s.highs {
			rises = append(rises, h.from)
			width = max(width, h.length())
		}
	}
	if len(rises) == 0 {
		return
	}
	var apart []float64
	next := 0
	for i := 1; i < len(rises); i++ {
		for next < len(on) && on[next].from() < rises[i-1] {
			next++
		}
		if next == len(on) || on[next].from() > rises[i] {
			apart = append(apart, rises[i]-rises[i-1])
		}
	}
	t := &x.sum.TestPulse
	t.Width = max(units.Time(math.Ceil(width*1e6/50-0.2))*50, minWidth) // up to the next 0.05 ms, but 0.31 ms is 0.3 ms
	if len(apart) > 0 {
		// Down to whole milliseconds, but 99.9 ms is 100 ms.
		t.Every = max(units.Time(math.Floor(slices.Min(apart)*1e3+0.2))*units.Millisecond, t.Width+units.Millisecond)
	} else {
		x.doubt("scope-one-test", "a second pulse may come later", "record for some seconds with the lamp off", "one test pulse was seen at a time")
	}
	if width < 5*x.step {
		x.doubt("scope-coarse", "fewer than five samples fall into a pulse", "record with more samples a second",
			"with a sample every %s the width of the test pulses, %s, is known to ±%s only", units.Seconds(x.step), t.Width, units.Seconds(x.step))
	}
}

// flashes finds the rate of a flasher in at least three stretches that are as long as one another. One on for a second or more is no
// flash: it may be the brake on the same wire.
func (x *reading) flashes(on []stretch) {
	var lengths, periods []float64
	longest := 0.0
	for i, s := range on {
		if s.length() >= noFlash {
			longest = max(longest, s.length())
			continue
		}
		if !s.cut {
			lengths = append(lengths, s.length())
		}
		if i > 0 && !on[i-1].cut && on[i-1].length() < noFlash {
			periods = append(periods, s.from()-on[i-1].from())
		}
	}
	even := func(v []float64) bool {
		m := median(v)
		return !slices.ContainsFunc(v, func(d float64) bool { return math.Abs(d-m) > m/4 })
	}
	if len(lengths) < 3 || len(periods) < 2 || !even(lengths) || !even(periods) || median(periods) > slowestFlash || median(periods) < quickestFlash {
		return
	}
	x.sum.Rate = math.Round(60 / median(periods))
	x.sum.Share = units.Share(math.Round(100*median(lengths)/median(periods)) / 100)
	if longest > 0 {
		x.doubt("scope-flashes-and-stays", "behind a two-wire socket the brake comes on the turn's wire", "if the brake does that, write carries-stop at the turn, with the wire of the high stop lamp as its reference",
			"the wire flashes, and for %s it is on without flashing", units.Seconds(math.Round(longest*10)/10))
	}
}

// offLevel finds where the wire stands while it is off, away from what is on by some milliseconds.
func (x *reading) offLevel(on []stretch) {
	const before, after = 0.001, 0.01 // s
	var volts []float64
	next := 0
	for i, at := range x.record.At {
		for next < len(on) && at > on[next].to()+after {
			next++
		}
		if next < len(on) && at >= on[next].from()-before {
			continue
		}
		volts = append(volts, x.record.Volts[i])
	}
	if seen := float64(len(volts)) * x.step; seen > leastDark {
		x.sum.OffSeen, x.sum.Off = units.Seconds(seen), rounded(median(volts))
	}
}

// settle makes the feed, and tells what the record leaves open.
func (x *reading) settle() {
	s, f := &x.sum, &x.sum.Feed
	f.TestPulse, f.Bounce = s.TestPulse, min(s.Bounce, maxBounce)
	if s.Bounce > 0 {
		f.Bounce = min((s.Bounce+99)/100*100, maxBounce)
	}
	if s.Rate > 0 {
		f.Kind = Flasher
	}
	switch {
	case s.Pulses == (Pulses{}):
	case s.Pulses.Duty >= leastChopped:
		f.Chopped = x.chopped(s.Pulses)
	default:
		if f.Kind == Flasher {
			x.doubt("scope-dimmed-flasher", "one wire is described as one or the other", "take the signal from a wire that only flashes", "the wire flashes and is dimmed; it is taken as dimmed")
		}
		f.Kind, f.Dimmed = Dimmed, s.Pulses
	}
	x.seen()
	if s.OffSeen > 0 && s.Off >= floats {
		f.Leak = Leak{Volts: min(s.Off, maxLeak)}
		x.doubt("scope-leak", "how far a resistor pulls the wire down depends on what it leaks through",
			fmt.Sprintf("measure the voltage once more with %s from the wire to ground", usualPullDown), "the wire floats at %s when off; through what, a record does not show", s.Off)
	}
	if list := f.Check(); list.HasErrors() {
		x.doubt("scope-no-feed", list.Error(), "measure and enter the feed by hand", "what the record shows (%s) is no wire that can be described", f)
		*f = Feed{Kind: Steady}
	}
}

// seen tells what the record is too short or too coarse for.
func (x *reading) seen() {
	s := &x.sum
	if s.OnSeen == 0 {
		x.doubt("scope-never-on", "what the wire does while on is not in the record", "record while the function is switched on", "the wire is never on")
	}
	if s.OffSeen == 0 {
		x.doubt("scope-never-off", "test pulses and leakage show only then", "record with the lamp off as well", "the wire is never off for long")
	} else if s.OffSeen < 300*units.Millisecond && s.TestPulse == (TestPulse{}) {
		x.doubt("scope-short-off", "test pulses come up to 100 ms apart (common practice)", "record at least 1 s with the lamp off",
			"the wire is off for %s only; test pulses may have been missed", s.OffSeen)
	}
	if x.step > coarsest {
		x.doubt("scope-coarse", "test pulses of 0.1 ms and bounce fall between samples", "record with a sample every 0.05 ms or more often", "the samples are %s apart", s.Step)
	}
}

// tidy rounds a frequency as exactly as a car holds it: three digits.
func tidy(hertz float64) float64 {
	if !(hertz > 0) {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(hertz))-2)
	return math.Round(math.Round(hertz/unit)*unit*1000) / 1000
}

// String tells in one line what the wire looks like.
func (s Summary) String() string {
	var parts []string
	switch f := s.Feed; {
	case s.OnSeen == 0:
		parts = append(parts, "never on")
	case f.Kind == Flasher:
		parts = append(parts, fmt.Sprintf("looks like a flasher, %g a minute, %s on", s.Rate, s.Share))
	case f.Kind == Dimmed:
		parts = append(parts, fmt.Sprintf("looks like dimmed %s", f.Dimmed))
	default:
		parts = append(parts, "looks like "+string(f.Kind))
	}
	if s.Feed.Chopped != (Chopping{}) {
		parts = append(parts, fmt.Sprintf("chopped %s at %s", s.Feed.Chopped.Pulses, s.On))
	} else if s.OnSeen > 0 {
		parts = append(parts, fmt.Sprintf("on at %s", s.On))
	}
	if s.Shared {
		second := "and high for a second function"
		if c := s.Second.Chopped; c != (Chopping{}) {
			second += fmt.Sprintf(", then chopped %s", c.Pulses)
		}
		parts = append(parts, second)
	}
	if s.TestPulse != (TestPulse{}) {
		parts = append(parts, s.TestPulse.String())
	}
	if s.Feed.Bounce != 0 {
		parts = append(parts, fmt.Sprintf("bounces for %s", s.Feed.Bounce))
	}
	switch {
	case s.OffSeen == 0:
		parts = append(parts, "never off for long")
	case s.Feed.Leak != (Leak{}):
		parts = append(parts, fmt.Sprintf("off floats at %s", s.Off))
	default:
		parts = append(parts, fmt.Sprintf("off at %s", s.Off))
	}
	switch n := s.Doubts.Count(report.Caution); n {
	case 0:
	case 1:
		parts = append(parts, "1 doubt")
	default:
		parts = append(parts, fmt.Sprintf("%d doubts", n))
	}
	return strings.Join(parts, ", ")
}
