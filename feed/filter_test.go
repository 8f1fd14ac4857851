package feed

import (
	"strings"
	"testing"

	"lampwright/report"
	"lampwright/units"
)

const (
	us = int64(1000)      // ns
	mS = int64(1_000_000) // ns
)

func timeOf(ns int64) units.Time { return units.Time(ns / 1000) }

// mustFilter derives a filter that must not be refused, nor carry any finding.
func mustFilter(t *testing.T, f Feed, road string) (Filter, Delay) {
	t.Helper()
	x, d, list := FilterFor(f, road)
	if len(list) > 0 {
		t.Fatalf("%s (%s): %v", f, road, list)
	}
	return x, d
}

// A wire that does nothing odd gets the counts that have served so far, with no gap.
func TestPracticeStays(t *testing.T) {
	for road, want := range map[string]Filter{
		"stop": {7, 0, 16}, "turn-lh": {4, 0, 10}, "turn-rh": {4, 0, 10}, "tail": {10, 0, 16}, "reverse": {10, 0, 16},
		"drl": {10, 0, 16}, "fog": {10, 0, 16}, "": {20, 0, 20},
	} {
		if x, _ := mustFilter(t, Feed{Kind: Steady}, road); x != want {
			t.Errorf("%s: %s, want %s", road, x, want)
		}
	}
	if x, _ := mustFilter(t, Feed{Kind: Relay}, "stop"); x != (Filter{7, 0, 20}) {
		t.Errorf("stop by relay: %s", x)
	}
}

// Stop, own wire: test pulses of 0.1 to 3.4 ms, single or every 10 to 100 ms, at every phase and clock: never lit by them, on within
// 4.1 ms of the wire, off within 30 ms. From 3.4825 ms on they are refused.
func TestStopWithTestPulses(t *testing.T) {
	for width := 100 * us; width <= 3600*us; width += 100 * us {
		for _, every := range []int64{0, 10 * mS, 20 * mS, 33 * mS, 50 * mS, 100 * mS} {
			f := Feed{Kind: Steady, TestPulse: TestPulse{Width: timeOf(width), Every: timeOf(every)}}
			x, d, list := FilterFor(f, "stop")
			if refused := width >= 3483*us; refused != list.HasErrors() {
				t.Fatalf("%s: refused %v, want %v: %v", f, list.HasErrors(), refused, list)
			} else if refused {
				if list[0].ID != "feed-stop-late" || x != (Filter{}) || !strings.Contains(list[0].Next, "3.48") {
					t.Errorf("%s: %v %v", f, x, list)
				}
				continue
			}
			if d.On > 4100*units.Microsecond || d.Off > 30*units.Millisecond {
				t.Errorf("%s: delay %v", f, d)
			}
			stopWithTestPulses(t, f, x, d, width, every)
		}
	}
}

func stopWithTestPulses(t *testing.T, f Feed, x Filter, d Delay, width, every int64) {
	// The wire is tested, then on for 80 ms, then tested again from the release on, at every phase.
	const on, off, until = 210 * mS, 290 * mS, 400 * mS
	step := 500 * us
	for phase := int64(0); phase < max(every, 10*mS); phase += step {
		for _, refresh := range clocks {
			for first := int64(0); first < refresh; first += 125 * us {
				changes := run(x, func(at int64) bool {
					switch {
					case at < on:
						return pulse(at, 3*mS+phase%(10*mS), every, width)
					case at < off:
						return true
					}
					return pulse(at, off+phase, every, width) && (every == 0 || at >= off+phase)
				}, first, refresh, until)
				if len(changes) != 2 || changes[0].at < on-width || timeOf(changes[0].at-on) > d.On || timeOf(changes[1].at-off) > d.Off {
					t.Fatalf("%s, %s: phase %d first %d refresh %d: %v", f, x, phase, first, refresh, changes)
				}
			}
		}
	}
}

// The count for test pulses is the smallest: with one less, some phase lights on them.
func TestOnCountIsTheSmallest(t *testing.T) {
	for width := 6 * mS; width <= 13500*us; width += 500 * us {
		f := Feed{Kind: Steady, TestPulse: TestPulse{Width: timeOf(width), Every: 200 * units.Millisecond}}
		x, _ := mustFilter(t, f, "tail")
		lit := func(x Filter) bool {
			for _, refresh := range clocks {
				for first := int64(0); first < refresh; first += 5 * us {
					if len(run(x, func(at int64) bool { return pulse(at, 3*mS, 200*mS, width) }, first, refresh, 150*mS)) > 0 {
						return true
					}
				}
			}
			return false
		}
		less := x
		less.On--
		if lit(x) || !lit(less) {
			t.Errorf("%s: %s lights: %v, with one less: %v", f, x, lit(x), lit(less))
		}
	}
}

// Tail dimmed at 100 to 200 Hz and 10 to 90 %: one steady on, off within 30 ms, at every phase of pulses and samples.
func TestDimmedTail(t *testing.T) {
	for _, hertz := range []float64{80, 100, 111, 125, 150, 180, 199, 200} {
		for duty := 0.1; duty < 0.95; duty += 0.1 {
			f := Feed{Kind: Dimmed, Dimmed: Pulses{Duty: units.Share(duty), At: units.Frequency(hertz)}}
			x, d := mustFilter(t, f, "tail")
			if d.Off > 30*units.Millisecond || d.On > 30*units.Millisecond {
				t.Errorf("%s: delay %v", f, d)
			}
			pulsedOnce(t, f, x, d, 0, 0)
		}
	}
}

// pulsedOnce runs a pulsed wire with test pulses in all phases: it must turn on once, stay on, and turn off once, in time.
func pulsedOnce(t *testing.T, f Feed, x Filter, d Delay, width, every int64) {
	t.Helper()
	p, _ := f.Pulsed()
	period := int64(1e9 / float64(p.At))
	high := int64(1e9 / float64(p.At) * float64(p.Duty))
	const on, off, until = 60 * mS, 700 * mS, 780 * mS
	for phase := int64(0); phase < period; phase += max(period/25, 100*us) {
		for _, refresh := range clocks {
			for first := int64(0); first < refresh; first += 125 * us {
				changes := run(x, func(at int64) bool {
					switch {
					case at >= on && at < off:
						return pulse(at, on+phase, period, high)
					case width == 0:
						return false
					case at < on:
						return pulse(at, phase, every, width)
					}
					return at >= off+phase && pulse(at, off+phase, every, width)
				}, first, refresh, until)
				if len(changes) != 2 || changes[0].at < on-width || timeOf(changes[0].at-on) > d.On || timeOf(changes[1].at-off) > d.Off {
					t.Fatalf("%s, %s, %v: phase %d first %d refresh %d: %v", f, x, d, phase, first, refresh, changes)
				}
			}
		}
	}
}

// Stop chopped at 85 to 95 % and 100 Hz: never flickers, off within 30 ms; with short test pulses entered it answers within 4 ms.
func TestChoppedStop(t *testing.T) {
	for _, duty := range []units.Share{0.85, 0.9, 0.95} {
		chopped := Chopping{Above: 13.2, Pulses: Pulses{Duty: duty, At: 100}}
		f := Feed{Kind: Steady, Chopped: chopped, TestPulse: TestPulse{Width: 300, Every: 100_000}}
		x, d := mustFilter(t, f, "stop")
		if d.On > 4100*units.Microsecond || d.Off > 30*units.Millisecond {
			t.Errorf("%s: %v", f, d)
		}
		pulsedOnce(t, f, x, d, 300*us, 100*mS)

		f.TestPulse = TestPulse{}
		x, d, list := FilterFor(f, "stop")
		if x.On != 7 || d.Off > 30*units.Millisecond || len(list) != 1 || list[0].ID != "feed-answers-late" || list[0].Severity != report.Caution {
			t.Errorf("%s: %s %v %v", f, x, d, list)
		}
		pulsedOnce(t, f, x, d, 0, 0)
	}
}

// Every choice among the odd things a wire does is refused, or works at every phase.
func TestAcceptedMeansItWorks(t *testing.T) {
	accepted, refused := 0, map[string]int{}
	for _, hertz := range []float64{30, 60, 100, 200, 400, 900} {
		for _, duty := range []float64{0.05, 0.1, 0.3, 0.6, 0.9} {
			for _, width := range []int64{300 * us, 1500 * us, 6 * mS} {
				for _, every := range []int64{8 * mS, 15 * mS, 30 * mS, 60 * mS} {
					f := Feed{Kind: Dimmed, Dimmed: Pulses{units.Share(duty), units.Frequency(hertz)},
						TestPulse: TestPulse{timeOf(width), timeOf(every)}}
					x, d, list := FilterFor(f, "tail")
					if list.HasErrors() {
						refused[list[0].ID]++
						continue
					}
					accepted++
					pulsedOnce(t, f, x, d, width, every)
				}
			}
		}
	}
	t.Log(accepted, refused)
	if accepted < 50 || refused["feed-alike"] < 10 || refused["feed-never-off"] < 5 || refused["feed-too-short"] < 10 {
		t.Errorf("accepted %d, refused %v: the grid no longer tries both", accepted, refused)
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		feed Feed
		road string
		id   string
		says string
	}{
		{Feed{Kind: Dimmed, Dimmed: Pulses{0.1, 100}, TestPulse: TestPulse{1000, 10_000}}, "tail", "feed-alike", "look like the dimmed wire"},
		{Feed{Kind: Steady, Chopped: Chopping{13.2, Pulses{0.5, 400}}, TestPulse: TestPulse{2000, 4000}}, "stop", "feed-alike", "look like the chopped wire"},
		{Feed{Kind: Dimmed, Dimmed: Pulses{0.05, 250}}, "tail", "feed-too-short", "fall between the samples"},
		{Feed{Kind: Dimmed, Dimmed: Pulses{0.02, 25}}, "tail", "feed-slow-pulses", "stand 39.20 ms apart"},
		{Feed{Kind: Steady, TestPulse: TestPulse{3500, 0}}, "stop", "feed-stop-late", "wait 4.52 ms"},
		{Feed{Kind: Steady, TestPulse: TestPulse{2000, 4000}, Bounce: 5000}, "tail", "feed-never-off", "low for 2.00 ms"},
	} {
		x, d, list := FilterFor(c.feed, c.road)
		if len(list) != 1 || list[0].ID != c.id || !strings.Contains(list[0].Text, c.says) || x != (Filter{}) || d != (Delay{}) {
			t.Errorf("%s: %s %v %v", c.feed, x, d, list)
			continue
		}
		if r := list[0]; r.Severity != report.StopWork || r.Figure == "" || r.Limit == "" || r.Source == "" || r.Why == "" || r.Next == "" {
			t.Errorf("%s: finding lacks something: %+v", c.feed, r)
		}
	}
}

// The wires of a plausible car: chopped and tested stop, dimmed tail, flasher. Delays by hand: stop, at worst one refresh into a
// high part that ends, 1 ms low, three refreshes and the remaining count: 2.51 + 1.00 ms.
func TestPlausibleCar(t *testing.T) {
	for _, c := range []struct {
		feed  Feed
		road  string
		want  Filter
		delay Delay
	}{
		{Feed{Kind: Steady, Chopped: Chopping{13.2, Pulses{0.9, 100}}, TestPulse: TestPulse{300, 100_000}}, "stop", Filter{4, 4, 16}, Delay{3513, 16380}},
		{Feed{Kind: Dimmed, Dimmed: Pulses{0.2, 200}}, "tail", Filter{5, 12, 16}, Delay{25005, 8040}},
		{Feed{Kind: Flasher, TestPulse: TestPulse{300, 100_000}}, "turn-lh", Filter{4, 0, 10}, Delay{2010, 10350}},
		{Feed{Kind: Flasher, Bounce: 5000}, "turn-lh", Filter{4, 0, 12}, Delay{7010, 11030}},
	} {
		if x, d := mustFilter(t, c.feed, c.road); x != c.want || d != c.delay {
			t.Errorf("%s: %s %v, want %s %v", c.feed, x, d, c.want, c.delay)
		}
	}
}
