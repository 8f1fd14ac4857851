package feed

import (
	"slices"
	"testing"

	"lampwright/units"

	"pgregory.net/rapid"
)

func TestShareTellsWhatCanBeToldApart(t *testing.T) {
	dimmed := func(duty float64, at float64) Feed {
		return Feed{Kind: Dimmed, Dimmed: Pulses{Duty: units.Share(duty), At: units.Frequency(at)}}
	}
	chopped := func(duty float64, at float64) Feed {
		return Feed{Kind: Steady, Chopped: Chopping{Above: 13.2, Pulses: Pulses{Duty: units.Share(duty), At: units.Frequency(at)}}}
	}
	steady := Feed{Kind: Steady}
	for _, c := range []struct {
		name          string
		first, second Feed
		ok            bool
	}{
		{"20 % at 200 Hz", dimmed(0.2, 200), steady, true},
		{"40 % at 100 Hz", dimmed(0.4, 100), steady, true},
		{"60 % at 100 Hz", dimmed(0.6, 100), steady, false},
		{"not dimmed", steady, steady, false},
		{"chopped 90 % at 100 Hz", dimmed(0.2, 200), chopped(0.9, 100), true},
		{"chopped 70 % at 100 Hz", dimmed(0.2, 200), chopped(0.7, 100), false},
		{"test pulses of the second", dimmed(0.2, 200), Feed{Kind: Steady, TestPulse: TestPulse{Width: 300, Every: 100_000}}, false},
		{"both dimmed", dimmed(0.2, 200), dimmed(0.2, 200), false},
		{"the second dimmed to 95 %", dimmed(0.2, 200), dimmed(0.95, 200), true},
	} {
		if got := !Share(c.first, c.second).HasErrors(); got != c.ok {
			t.Errorf("%s: told apart %v, want %v: %v", c.name, got, c.ok, Share(c.first, c.second))
		}
	}
}

// mostIn is never less than what falls into a window of samples, at any phase and clock.
func TestMostInCoversEveryPhase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		duty := rapid.Float64Range(0.05, 0.95).Draw(t, "duty")
		at := rapid.Float64Range(40, 400).Draw(t, "Hz")
		step := rapid.Float64Range(0.4975e-3, 0.5025e-3).Draw(t, "sample")
		phase := rapid.Float64Range(0, 1).Draw(t, "phase")
		n := 0
		for i := range shareWindow {
			x := phase + float64(i)*step*at
			if x-float64(int(x)) < duty {
				n++
			}
		}
		if most := mostIn(duty, units.Frequency(at)); n > most {
			t.Fatalf("%d samples are high, at most %d foreseen", n, most)
		}
	})
}

// Either is high exactly where one of the two is, and alternates.
func TestEitherIsTheUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func() []Edge {
			times := rapid.SliceOfNDistinct(rapid.Int64Range(0, 50), 0, 10, rapid.ID[int64]).Draw(t, "times")
			slices.Sort(times)
			var out []Edge
			for i, at := range times {
				out = append(out, Edge{units.Time(at), i%2 == 0})
			}
			return out
		}
		level := func(edges []Edge, at units.Time) (high bool) {
			for _, e := range edges {
				if e.At <= at {
					high = e.High
				}
			}
			return high
		}
		a, b := draw(), draw()
		both := Either(a, b)
		for i, e := range both {
			if e.High != (i%2 == 0) || i > 0 && e.At <= both[i-1].At {
				t.Fatalf("edge %d of %v", i, both)
			}
		}
		for at := units.Time(0); at <= 51; at++ {
			if level(both, at) != (level(a, at) || level(b, at)) {
				t.Fatalf("at %d: %v of %v and %v", at, both, a, b)
			}
		}
	})
}
