package units_test

import (
	"math"
	"testing"

	"lampwright/units"

	"pgregory.net/rapid"
)

// Preferred values of IEC 60063, series E12.
func TestE12(t *testing.T) {
	for r, want := range map[units.Resistance][2]units.Resistance{
		0.9: {0, 1}, 1: {1, 1}, 1.19: {1, 1.2}, 1.2: {1.2, 1.2}, 9.9: {8.2, 10}, 10: {10, 10}, 83: {82, 100}, 99: {82, 100}, 149: {120, 150}, 150: {150, 150},
		151: {150, 180}, 1000: {1000, 1000}, 2199: {1800, 2200}, 2200: {2200, 2200}, 2700 * 0.9999999999: {2700, 2700}, 2700 * 1.0000000001: {2700, 2700},
		15999: {15000, 18000}, 1e6: {1e6, 1e6},
	} {
		if got := [2]units.Resistance{units.E12AtMost(r), units.E12AtLeast(r)}; got != want {
			t.Errorf("%g Ω lies between %v, want %v", float64(r), got, want)
		}
	}
	if got := units.E12AtMost(units.Resistance(math.NaN())); got != 0 {
		t.Errorf("no number: %v", got)
	}
}

// A preferred value is its own neighbour, and between neighbours is nothing: a step is 1.17 to 1.25 times.
func TestE12Neighbours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := units.Resistance(rapid.Float64Range(1, 1e6).Draw(t, "ohms"))
		low, high := units.E12AtMost(r), units.E12AtLeast(r)
		if low > r*1.00001 || high < r/1.00001 || units.E12AtLeast(low) != low || units.E12AtMost(high) != high || low != high && (high < 1.17*low || high > 1.26*low) {
			t.Fatalf("%v lies between %v and %v", r, low, high)
		}
	})
}
