package randomjob

import (
	"lampwright/feed"
	"lampwright/units"

	"pgregory.net/rapid"
)

// drawFeed draws what the wire of an input does; false when the job shall not say. Of a wire whose on and off cannot be told apart,
// test pulses are left out first, then all pulses.
func drawFeed(t *rapid.T, road string) (f feed.Feed, written bool) {
	if rapid.IntRange(0, 2).Draw(t, "feed") == 0 {
		return f, false
	}
	f = feed.Feed{Kind: rapid.SampledFrom([]feed.Kind{feed.Steady, feed.Flasher, feed.Dimmed, feed.Relay}).Draw(t, "kind")}
	some := func(what string) bool { return rapid.IntRange(0, 2).Draw(t, what) == 0 }
	tenths := func(from, to int, what string) float64 { return float64(rapid.IntRange(from, to).Draw(t, what)) / 10 }
	if f.Kind == feed.Dimmed {
		f.Dimmed = drawPulses(t, 5)
	} else if f.Kind != feed.Relay && some("chopped") {
		f.Chopped = feed.Chopping{Above: units.Voltage(tenths(90, 158, "above")), Pulses: drawPulses(t, 50)}
	}
	if f.Kind != feed.Relay && some("tested") {
		f.TestPulse.Width = units.Time(rapid.IntRange(1, 30).Draw(t, "width")) * 100 * units.Microsecond
		if rapid.Bool().Draw(t, "again") {
			f.TestPulse.Every = units.Time(rapid.IntRange(20, 300).Draw(t, "every")) * units.Millisecond
		}
	}
	if some("leaks") {
		f.Leak.Volts = units.Voltage(tenths(5, 80, "volts"))
		if rapid.Bool().Draw(t, "known through") {
			f.Leak.Through = units.Resistance(100 * rapid.IntRange(10, 200).Draw(t, "through"))
		}
		f.PullDown = units.Resistance(100 * rapid.IntRange(10, 100).Draw(t, "pull-down"))
	}
	if some("bounces") {
		f.Bounce = units.Time(rapid.IntRange(2, 80).Draw(t, "bounce")) * 100 * units.Microsecond
	}
	if refused(f, road) {
		f.TestPulse = feed.TestPulse{}
	}
	if refused(f, road) {
		f.Kind, f.Dimmed, f.Chopped = feed.Steady, feed.Pulses{}, feed.Chopping{}
	}
	return f, true
}

func refused(f feed.Feed, road string) bool {
	_, _, list := feed.FilterFor(f, road)
	return list.HasErrors()
}

// drawPulses draws pulses of so many per cent or more.
func drawPulses(t *rapid.T, least int) feed.Pulses {
	return feed.Pulses{
		Duty: units.Share(rapid.IntRange(least, 95).Draw(t, "duty")) / 100,
		At:   units.Frequency(rapid.IntRange(50, 1000).Draw(t, "frequency")),
	}
}
