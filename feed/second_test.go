package feed

import (
	"strings"
	"testing"

	"lampwright/units"
)

// Tail and stop on one wire: both are found, whichever comes first, chopped or steady, and what is found can be told apart. Test pulses that
// come as often as the pulses of a tail stay test pulses, and it is said.
func TestSumOfTwoFunctions(t *testing.T) {
	levels, _, _ := Electrical(Feed{Kind: Steady}, circuit(t))
	steady := Feed{Kind: Steady}
	chopped := Feed{Kind: Steady, Chopped: Chopping{13.2, Pulses{0.9, 100}}}
	for _, c := range []struct {
		about      string
		tail, stop Feed
		tails      []Span
		stops      []Span
		says       string
	}{
		{"stop within tail", Feed{Kind: Dimmed, Dimmed: Pulses{0.15, 200}}, steady, []Span{{300_000, 1_900_000}}, []Span{{900_000, 1_500_000}}, "dimmed 15 % at 200 Hz, on at 14.1 V, and high for a second function, off"},
		{"stop after tail", Feed{Kind: Dimmed, Dimmed: Pulses{0.2, 150}}, chopped, []Span{{300_000, 900_000}}, []Span{{1_200_000, 1_900_000}}, "and high for a second function, then chopped 90 % at 100 Hz"},
		{"stop before tail", Feed{Kind: Dimmed, Dimmed: Pulses{0.33, 100}}, chopped, []Span{{900_000, 1_900_000}}, []Span{{300_000, 910_000}}, "then chopped 90 % at 100 Hz"},
		{"slow and dim", Feed{Kind: Dimmed, Dimmed: Pulses{0.4, 100}}, steady, []Span{{300_000, 1_900_000}}, []Span{{900_000, 1_500_000}}, "and high for a second function"},
		{"tested", Feed{Kind: Dimmed, Dimmed: Pulses{0.2, 200}, TestPulse: TestPulse{500, 50_000}}, steady, []Span{{700_000, 1_900_000}}, []Span{{900_000, 1_500_000}}, "and high for a second function, test pulses of 0.5 ms every 50 ms"},
	} {
		edges := Either(Wave(c.tail, c.tails, 2400_000, Conditions{Supply: 14.1, Seed: 11}), Wave(c.stop, c.stops, 2400_000, Conditions{Supply: 14.1, Seed: 12}))
		at, volts := trace{step: 50e-6, on: 14.1, noise: 0.2, slew: 20e-6}.volts(edges, 2400_000)
		r, list := ReadScope("wire", csv("time (s),v (V)\n", at, volts, plain))
		if list.HasErrors() {
			t.Fatal(list)
		}
		s := r.Sum(levels)
		if !s.Shared || s.Feed != c.tail || s.Second != c.stop || s.Tells().HasErrors() {
			t.Errorf("%s: shared %v\nfirst  %+v, want %+v\nsecond %+v, want %+v\n%v", c.about, s.Shared, s.Feed, c.tail, s.Second, c.stop, s.Tells())
		}
		if !strings.Contains(s.String(), c.says) {
			t.Errorf("%s: %s", c.about, s)
		}
	}
	// No two functions are seen where there is one.
	for _, f := range []Feed{
		{Kind: Dimmed, Dimmed: Pulses{0.1, 200}}, {Kind: Dimmed, Dimmed: Pulses{0.5, 100}}, {Kind: Steady, TestPulse: TestPulse{500, 10_000}},
		{Kind: Steady, Chopped: Chopping{13.2, Pulses{0.85, 100}}, TestPulse: TestPulse{2500, 20_000}},
	} {
		at, volts := trace{step: 50e-6, on: 14.1, noise: 0.2}.volts(Wave(f, []Span{{800_000, 1_600_000}}, 2400_000, Conditions{Supply: 14.1, Seed: 11}), 2400_000)
		r, _ := ReadScope("wire", csv("time (s),v (V)\n", at, volts, plain))
		if s := r.Sum(levels); s.Shared {
			t.Errorf("%s: %s", f, s)
		}
	}
	f := Feed{Kind: Steady, TestPulse: TestPulse{1 * units.Millisecond, 10_000}}
	at, volts := trace{step: 50e-6, on: 14.1, noise: 0.2}.volts(Wave(f, []Span{{800_000, 1_600_000}}, 2400_000, Conditions{Supply: 14.1, Seed: 11}), 2400_000)
	r, _ := ReadScope("wire", csv("time (s),v (V)\n", at, volts, plain))
	s := r.Sum(levels)
	if s.Shared || s.TestPulse != f.TestPulse || len(s.Doubts) != 1 || s.Doubts[0].ID != "scope-tested-or-shared" || s.Doubts[0].Next == "" {
		t.Errorf("%s, %v", s, s.Doubts)
	}
}

// Turn and brake on one wire: the flasher is found, and it is said that the wire stays on as well.
func TestSumOfTurnAndBrake(t *testing.T) {
	levels, _, _ := Electrical(Feed{Kind: Steady}, circuit(t))
	var on []Span
	for i := range units.Time(4) {
		on = append(on, Span{400_000 + i*667_000, 733_000 + i*667_000})
	}
	on = append(on, Span{4_000_000, 6_500_000})
	at, volts := trace{step: 100e-6, on: 13.5, noise: 0.2}.volts(Wave(Feed{Kind: Flasher}, on, 7_500_000, Conditions{Supply: 13.5}), 7_500_000)
	r, _ := ReadScope("wire", csv("time (s),v (V)\n", at, volts, plain))
	s := r.Sum(levels)
	if s.Feed.Kind != Flasher || s.Rate != 90 || len(s.Doubts) != 1 || s.Doubts[0].ID != "scope-flashes-and-stays" || !strings.Contains(s.Doubts[0].Text, "2500 ms") {
		t.Errorf("%s, %v", s, s.Doubts)
	}
}
