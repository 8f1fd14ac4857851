package light

import (
	"math"
	"testing"

	"lampwright/units"

	"pgregory.net/rapid"
)

func TestEase(t *testing.T) {
	for _, test := range []struct {
		ease Ease
		want [5]float64 // at 0, 1/4, 1/2, 3/4, 1
	}{
		{Even, [5]float64{0, 0.25, 0.5, 0.75, 1}},
		{GentleStart, [5]float64{0, 0.0625, 0.25, 0.5625, 1}},
		{GentleEnd, [5]float64{0, 0.4375, 0.75, 0.9375, 1}},
		{Gentle, [5]float64{0, 0.15625, 0.5, 0.84375, 1}},
	} {
		for i, want := range test.want {
			if got := test.ease.Way(float64(i) / 4); got != want {
				t.Errorf("%s at %d/4: %v, want %v", test.ease, i, got, want)
			}
		}
		if test.ease.Way(-1) != 0 || test.ease.Way(2) != 1 {
			t.Errorf("%s is not held at its ends", test.ease)
		}
	}
}

func TestEaseNeverTurnsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Ease(rapid.IntRange(0, 3).Draw(t, "ease"))
		a, b := rapid.Float64Range(0, 1).Draw(t, "a"), rapid.Float64Range(0, 1).Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		wayA, wayB := e.Way(a), e.Way(b)
		if wayA < 0 || wayB > 1 || wayA > wayB+1e-15 {
			t.Fatalf("%s: %v at %v, %v at %v", e, wayA, a, wayB, b)
		}
	})
}

func TestLightness(t *testing.T) {
	// CIE 1976 L*: half lightness is 18.42 % of light; 18 % grey is L* 49.496;
	// the two branches meet at L* 8. Source: ISO/CIE 11664-4:2019, formula.
	for _, test := range []struct{ share, lightness float64 }{
		{0, 0}, {1, 100}, {0.18418651851244416, 50}, {0.18, 49.496}, {216.0 / 24389, 8}, {0.001, 0.9033}, {-1, 0}, {2, 100},
	} {
		if got := lightnessOf(test.share); math.Abs(got-test.lightness) > 5e-4 {
			t.Errorf("lightness of %v: %v, want %v", test.share, got, test.lightness)
		}
	}
	if lightnessOf(1) != 100 || shareOf(100) != 1 || shareOf(0) != 0 || shareOf(100.0001) != 1 {
		t.Error("an end is not exact")
	}
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		if a, b := lightnessOf(share), units.Lightness(share); math.Abs(a-b) > 1e-12 {
			t.Fatalf("lightness of %v: %v, the shared formula gives %v", share, a, b)
		}
		if back := shareOf(lightnessOf(share)); math.Abs(back-share) > 4e-15 {
			t.Fatalf("%v came back as %v", share, back)
		}
	})
}
