package feed

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lampwright/board"
	"lampwright/report"
	"lampwright/units"
)

func circuit(t testing.TB) board.InputCircuit {
	t.Helper()
	b, err := board.Find("chain-32")
	if err != nil {
		t.Fatal(err)
	}
	return b.Input
}

func TestLeakOf(t *testing.T) {
	// 3.5 V unloaded, 1 V with 2.2 kΩ: the rest, 2.5 V, drops over 2.2 kΩ × 2.5.
	l, err := LeakOf(3.5, 1, 2200)
	if err != nil || math.Abs(float64(l.Through-5500)) > 1e-6 || l.Volts != 3.5 {
		t.Error(l, err)
	}
	for _, c := range [][2]units.Voltage{{3.5, 3.5}, {3.5, 0}, {3.5, 4}} {
		if _, err := LeakOf(c[0], c[1], 2200); err == nil {
			t.Errorf("%v taken", c)
		}
	}
}

func TestElectrical(t *testing.T) {
	for _, c := range []struct {
		about    string
		leak     Leak
		pull     units.Resistance
		id       string
		severity report.Severity
		atMost   units.Resistance
		fit      units.Resistance
		says     string
	}{
		{"no leak", Leak{}, 0, "", 0, 0, 0, ""},
		{"below the threshold anyway", Leak{2, 100}, 0, "", 0, 0, 0, ""},
		{"the input alone pulls it down", Leak{3.5, 47000}, 0, "", 0, 0, 0, ""},
		{"between margin and threshold", Leak{3.5, 5500}, 0, "feed-floats", report.Caution, 15000, 2200, "2.2 kΩ to ground, rated 0.25 W or more (116 mW at 16 V); up to 15 kΩ would do"},
		{"reads high", Leak{5, 2200}, 0, "feed-floats", report.StopWork, 1500, 1500, "1.5 kΩ to ground, rated 0.5 W or more (171 mW"},
		{"fixed by what is fitted", Leak{3.5, 5500}, 2200, "", 0, 15000, 2200, ""},
		{"too large a one is fitted", Leak{5, 1000}, 10000, "feed-floats", report.StopWork, 680, 680, "680 Ω"},
		{"nothing cool will do", Leak{12, 100}, 0, "feed-floats", report.StopWork, 18, 0, "take the signal from another wire"},
		{"through nobody knows what", Leak{3.5, 0}, 0, "feed-leak-unknown", report.StopWork, 0, 2200, "fit 2.2 kΩ to ground"},
		{"low anyway, with little margin", Leak{2.5, 0}, 0, "feed-leak-unknown", report.Caution, 0, 2200, "fit 2.2 kΩ to ground"},
		{"the same with a pull-down", Leak{3.5, 0}, 2200, "feed-leak-unknown", report.Caution, 0, 2200, "measure the wire"},
		{"a hot one", Leak{}, 47, "feed-pull-down-hot", report.Caution, 0, 47, "larger resistor"},
	} {
		f := Feed{Kind: Steady, Leak: c.leak, PullDown: c.pull}
		thresholds, advice, list := Electrical(f, circuit(t))
		if thresholds.LowUpTo < 2.8 || thresholds.LowUpTo > 3 || thresholds.HighFrom < 6 || thresholds.HighFrom > 6.3 {
			t.Errorf("thresholds %v", thresholds) // 0.3 and 0.6 of 5 V behind a divider by two, with doubt
		}
		if advice.AtMost != c.atMost || advice.Fit != c.fit {
			t.Errorf("%s: advice %+v", c.about, advice)
		}
		if c.id == "" {
			if len(list) > 0 {
				t.Errorf("%s: %v", c.about, list)
			}
			continue
		}
		if len(list) != 1 || list[0].ID != c.id || list[0].Severity != c.severity || !strings.Contains(list[0].Next, c.says) {
			t.Errorf("%s: %v %+v", c.about, list, list)
			continue
		}
		if r := list[0]; r.Figure == "" || r.Limit == "" || r.Source == "" || r.Why == "" {
			t.Errorf("%s: finding lacks something: %+v", c.about, r)
		}
	}
}

// The largest resistor fixes the wire, by Ohm's law written out anew; the next larger of the series does not.
func TestPullDownIsTheLargest(t *testing.T) {
	c := circuit(t)
	limit := 0.75 * float64(c.LowUpTo())
	stands := func(l Leak, pull float64) float64 {
		input := float64(c.Series.Is+c.ToGround.Is) * 1.01
		current := float64(l.Volts) / (float64(l.Through) + 1/(1/input+1/pull))
		return float64(l.Volts) - current*float64(l.Through)
	}
	rapid.Check(t, func(t *rapid.T) {
		l := Leak{units.Voltage(rapid.Float64Range(2.5, 16).Draw(t, "volts")), units.Resistance(rapid.Float64Range(200, 50000).Draw(t, "through"))}
		_, advice, _ := Electrical(Feed{Kind: Steady, Leak: l}, c)
		if advice.AtMost == 0 {
			return
		}
		if v := stands(l, float64(advice.AtMost)*1.05); v > limit*1.000001 {
			t.Fatalf("%v: %v leaves it at %g V", l, advice, v)
		}
		next := float64(units.E12AtLeast(advice.AtMost * 1.01))
		if v := stands(l, next*1.05); v <= limit && next < 100e3 {
			t.Fatalf("%v: %v, yet %g Ω leaves it at %g V", l, advice, next, v)
		}
		// Entered as fitted, the advice settles the matter.
		if advice.Fit != 0 {
			if _, _, list := Electrical(Feed{Kind: Steady, Leak: l, PullDown: advice.Fit}, c); list.HasErrors() || len(list) > 0 {
				t.Fatalf("%v: %v: %v", l, advice, list)
			}
		}
	})
}
