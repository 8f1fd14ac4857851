package lamp

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The standard library judges our own sines and arcs.
func TestExactAgainstStandardLibrary(t *testing.T) {
	const tol = 4e-16 // two bits near 1
	rapid.Check(t, func(t *rapid.T) {
		degrees := rapid.Float64Range(-360, 360).Draw(t, "degrees")
		sin, cos := sinCos(degrees)
		wantSin, wantCos := math.Sincos(degrees * math.Pi / 180)
		if math.Abs(sin-wantSin) > 4*tol || math.Abs(cos-wantCos) > 4*tol { // the argument's own rounding grows with it
			t.Fatalf("%v°: %v %v, want %v %v", degrees, sin, cos, wantSin, wantCos)
		}
		right, up := coordinate().Draw(t, "right"), coordinate().Draw(t, "up")
		want := math.Atan2(right, up)
		if want < 0 {
			want += 2 * math.Pi
		}
		if right == 0 && up == 0 {
			want = 0 // by definition; the library tells 0 from -0
		}
		got := bearing(right, up)
		if d := math.Abs(got - want); d > 3*tol*math.Pi && math.Abs(d-2*math.Pi) > 3*tol*math.Pi {
			t.Fatalf("bearing(%v, %v) = %v, want %v", right, up, got, want)
		}
		if got < 0 || got >= 2*math.Pi {
			t.Fatalf("bearing %v is outside one turn", got)
		}
	})
}

func TestQuarterTurnsAreExact(t *testing.T) {
	for _, test := range []struct{ degrees, sin, cos float64 }{
		{0, 0, 1}, {90, 1, 0}, {180, 0, -1}, {270, -1, 0}, {360, 0, 1}, {-90, -1, 0}, {450, 1, 0},
	} {
		sin, cos := sinCos(test.degrees)
		if !sameBits(sin, test.sin) || !sameBits(cos, test.cos) {
			t.Errorf("%v°: %v %v, want %v %v", test.degrees, sin, cos, test.sin, test.cos)
		}
	}
	for _, test := range []struct{ right, up, want float64 }{
		{0, 0, 0}, {0, 5, 0}, {5, 0, math.Pi / 2}, {0, -5, math.Pi}, {-5, 0, 3 * math.Pi / 2}, {-1e-300, 5, 0},
	} {
		if got := bearing(test.right, test.up); got != test.want {
			t.Errorf("bearing(%v, %v) = %v, want %v", test.right, test.up, got, test.want)
		}
	}
}

// Angles that mirror one another about an axis give sines that do too, bit for
// bit: a ring is symmetrical.
func TestSinesMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		degrees := float64(rapid.IntRange(0, 2880).Draw(t, "eighths")) / 8
		sin, cos := sinCos(degrees)
		for _, m := range []struct{ degrees, sin, cos float64 }{{360 - degrees, -sin, cos}, {180 - degrees, sin, -cos}, {90 - degrees, cos, sin}} {
			s, c := sinCos(m.degrees)
			if s != m.sin || c != m.cos {
				t.Fatalf("%v° and %v°: %v %v, %v %v", degrees, m.degrees, sin, cos, s, c)
			}
		}
	})
}
