package feed

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lampwright/units"
)

const second = units.Second

// timeHigh sums the time that a wave is high between two times.
func timeHigh(edges []Edge, from, to units.Time) units.Time {
	var sum, since units.Time
	high := false
	for _, e := range append(slices.Clone(edges), Edge{to, false}) {
		at := min(max(e.At, from), to)
		if high {
			sum += at - since
		}
		since, high = at, e.High
	}
	return sum
}

func TestWaveSteadyIsWhatIsMeant(t *testing.T) {
	on := []Span{{3 * second, 4 * second}, {second, 2 * second}, {1500_000, 2500_000}, {9 * second, 30 * second}, {7 * second, 7 * second}}
	got := Wave(Feed{Kind: Steady}, on, 10*second, Conditions{})
	want := []Edge{{second, true}, {2500_000, false}, {3 * second, true}, {4 * second, false}, {9 * second, true}}
	if !slices.Equal(got, want) {
		t.Errorf("%v", got)
	}
}

func TestWavePulses(t *testing.T) {
	f := Feed{Kind: Dimmed, Dimmed: Pulses{0.2, 200}}
	edges := Wave(f, []Span{{second, 3 * second}}, 4*second, Conditions{Seed: 1})
	if h := timeHigh(edges, second, 3*second); h < 399*units.Millisecond || h > 401*units.Millisecond {
		t.Errorf("high for %v of 2 s at 20 %%", h)
	}
	rises := 0
	for _, e := range edges {
		if e.High {
			rises++
		}
	}
	if rises < 400 || rises > 401 {
		t.Errorf("%d rises in 2 s at 200 Hz", rises)
	}
	chopped := Feed{Kind: Steady, Chopped: Chopping{13.2, Pulses{0.9, 100}}}
	for supply, least := range map[units.Voltage]int{12.6: 2, 13.2: 2, 14: 398} {
		if n := len(Wave(chopped, []Span{{second, 3 * second}}, 4*second, Conditions{Supply: supply})); n < least || n > least+4 {
			t.Errorf("%d edges at %v", n, supply)
		}
	}
}

func TestWaveTestPulses(t *testing.T) {
	f := Feed{Kind: Steady, TestPulse: TestPulse{300, 100_000}}
	edges := Wave(f, []Span{{2 * second, 3 * second}}, 5*second, Conditions{Seed: 4})
	if h := timeHigh(edges, 0, 2*second); h < 19*300 || h > 20*300 {
		t.Errorf("high for %v before", h)
	}
	if h := timeHigh(edges, 3*second, 5*second); h < 19*300 || h > 20*300 {
		t.Errorf("high for %v after", h)
	}
	if h := timeHigh(edges, 2*second, 3*second); h != second {
		t.Errorf("high for %v while on", h)
	}
	f.TestPulse.Every = 0
	if h := timeHigh(Wave(f, []Span{{2 * second, 3 * second}}, 5*second, Conditions{Seed: 4}), 0, 5*second); h != second+600 {
		t.Errorf("single: high for %v", h)
	}
}

func TestWaveBounces(t *testing.T) {
	f := Feed{Kind: Relay, Bounce: 8000}
	edges := Wave(f, []Span{{second, 2 * second}}, 3*second, Conditions{Seed: 9})
	if len(edges) < 10 {
		t.Errorf("only %d edges", len(edges))
	}
	for _, e := range edges {
		if near := func(at units.Time) bool { return e.At >= at && e.At < at+8000 }; !near(second) && !near(2*second) {
			t.Errorf("an edge at %v", e.At)
		}
	}
	if !edges[0].High || edges[0].At != second || edges[len(edges)-1].High {
		t.Errorf("%v", edges)
	}
}

// feeds draws feeds that pass Check, plausible ones more often than odd ones.
func feeds() *rapid.Generator[Feed] {
	return rapid.Custom(func(t *rapid.T) Feed {
		f := Feed{Kind: rapid.SampledFrom([]Kind{Steady, Flasher, Dimmed, Relay}).Draw(t, "kind")}
		odd := rapid.IntRange(0, 3).Draw(t, "odd") == 0
		upTo := func(plausible, most int) int {
			if odd {
				return most
			}
			return plausible
		}
		at := func(low float64) Pulses {
			return Pulses{units.Share(rapid.Float64Range(low, 0.99).Draw(t, "duty")), units.Frequency(rapid.Float64Range(float64(100-upTo(40, 80)), float64(upTo(250, 900))).Draw(t, "at"))}
		}
		if f.Kind == Dimmed {
			f.Dimmed = at(0.01)
		} else if f.Kind != Relay && rapid.Bool().Draw(t, "chopped") {
			f.Chopped = Chopping{Above: 13.2, Pulses: at(0.5)}
		}
		if f.Kind != Relay && rapid.Bool().Draw(t, "tested") {
			f.TestPulse.Width = units.Time(rapid.IntRange(20, upTo(2500, 20_000)).Draw(t, "width"))
			if rapid.Bool().Draw(t, "again") {
				f.TestPulse.Every = f.TestPulse.Width + units.Time(rapid.IntRange(30_000-upTo(15_000, 29_999), 100_000).Draw(t, "every"))
			}
		}
		if rapid.Bool().Draw(t, "bounces") {
			f.Bounce = units.Time(rapid.IntRange(1, upTo(5_000, 50_000)).Draw(t, "bounce"))
		}
		if list := f.Check(); len(list) > 0 {
			t.Fatal(list)
		}
		return f
	})
}

// Whatever the feed, a filter that was granted turns on once for each span of the wave and off once, both within its delay.
func TestFilterFollowsWave(t *testing.T) {
	granted := 0 // of 100, unless more are asked for
	rapid.Check(t, func(t *rapid.T) {
		f := feeds().Draw(t, "feed")
		road := rapid.SampledFrom([]string{"stop", "turn-lh", "tail", ""}).Draw(t, "road")
		x, d, list := FilterFor(f, road)
		if list.HasErrors() {
			if x != (Filter{}) {
				t.Fatal("a refused wire has a filter")
			}
			return
		}
		granted++
		if x.On < 2 || x.Off < 4 || x.Gap%GapStep != 0 || x.Gap > GapMost {
			t.Fatal(x)
		}
		settle := d.On + d.Off + 2*f.Bounce + 20*units.Millisecond
		var on []Span
		at := settle
		for range rapid.IntRange(1, 3).Draw(t, "spans") {
			to := at + settle + units.Time(rapid.IntRange(0, 300_000).Draw(t, "for"))
			on = append(on, Span{at, to})
			at = to + settle + units.Time(rapid.IntRange(0, 100_000).Draw(t, "pause"))
		}
		c := Conditions{Supply: units.Voltage(rapid.SampledFrom([]float64{12.6, 14.1}).Draw(t, "supply")), Seed: rapid.Uint64().Draw(t, "seed")}
		edges := Wave(f, on, at, c)
		if !slices.Equal(edges, Wave(f, on, at, c)) {
			t.Fatal("the same seed gives another wave")
		}
		high, last := false, units.Time(-1)
		for _, e := range edges {
			if e.High == high || e.At <= last || e.At >= at {
				t.Fatalf("edge %v after %v, %v", e, last, high)
			}
			high, last = e.High, e.At
		}
		refresh := rapid.Int64Range(shortRefresh, longRefresh).Draw(t, "refresh")
		i, level := 0, false
		changes := run(x, func(ns int64) bool {
			for i < len(edges) && nanos(edges[i].At) <= ns {
				level = edges[i].High
				i++
			}
			return level
		}, rapid.Int64Range(0, refresh).Draw(t, "first"), refresh, nanos(at))
		if len(changes) != 2*len(on) {
			t.Fatalf("%s, %s, %v: %d changes for %v: %v", f, x, d, len(changes), on, changes)
		}
		for k, s := range on {
			rise, fall := changes[2*k].at, changes[2*k+1].at
			if rise > nanos(s.From+d.On) || rise < nanos(s.From-f.TestPulse.Width) || fall > nanos(s.To+d.Off) || fall < nanos(s.To)-100*mS {
				t.Fatalf("%s, %s, %v: %v on at %d, off at %d ns", f, x, d, s, rise, fall)
			}
		}
	})
	if granted < 20 {
		t.Errorf("only %d feeds were granted: the test hardly tries anything", granted)
	}
}
