package lamp

import "math"

// The standard library may round sines and arcs differently from one processor
// to another (a fused multiply and add rounds once instead of twice). A kit
// must be the same wherever it is built, so they are computed here from single
// operations, each rounded by itself. float64(...) around a product forbids
// the fusing.

// distance is the straight distance between two points, mm.
func distance(a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}

// between is the point at i of n equal steps from a to b; both ends are exact.
func between(a, b float64, i, n int) float64 {
	switch i {
	case 0:
		return a
	case n:
		return b
	}
	return a + float64((b-a)*float64(i))/float64(n)
}

// horner evaluates c[0] + c[1]·x + c[2]·x² + ...
func horner(x float64, c []float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = float64(sum*x) + c[i]
	}
	return sum
}

// Taylor series in x², good to the last bit or two within an eighth of a turn.
var (
	sinSeries = []float64{1, -1. / 6, 1. / 120, -1. / 5040, 1. / 362880, -1. / 39916800, 1. / 6227020800, -1. / 1307674368000}
	cosSeries = []float64{1, -1. / 2, 1. / 24, -1. / 720, 1. / 40320, -1. / 3628800, 1. / 479001600, -1. / 87178291200, 1. / 20922789888000}
	arcSeries = []float64{1, -1. / 3, 1. / 5, -1. / 7, 1. / 9, -1. / 11, 1. / 13, -1. / 15, 1. / 17, -1. / 19, 1. / 21, -1. / 23}
)

// sinCos gives sine and cosine of an angle in degrees. Quarter turns are
// exact, and angles that mirror one another give values that do too.
func sinCos(degrees float64) (sin, cos float64) {
	degrees = math.Mod(degrees, 360)
	if degrees < 0 {
		degrees += 360
	}
	quarter := math.Floor(degrees / 90)
	rest := degrees - float64(quarter*90)
	if rest > 45 {
		cos, sin = eighth(90 - rest)
	} else {
		sin, cos = eighth(rest)
	}
	switch int(quarter) % 4 {
	case 1:
		sin, cos = cos, -sin
	case 2:
		sin, cos = -sin, -cos
	case 3:
		sin, cos = -cos, sin
	}
	return noNegativeZero(sin), noNegativeZero(cos)
}

// eighth gives sine and cosine of 0..45 degrees. At 45 they are equal, which
// two series do not know.
func eighth(degrees float64) (sin, cos float64) {
	if degrees == 45 {
		return math.Sqrt2 / 2, math.Sqrt2 / 2
	}
	x := float64(degrees*math.Pi) / 180
	square := float64(x * x)
	return float64(x * horner(square, sinSeries)), horner(square, cosSeries)
}

// bearing gives the angle of (right, up) from 12 o'clock towards the right, in
// radians, 0 <= angle < 2π. The angle of (0, 0) is 0.
func bearing(right, up float64) float64 {
	r, u := math.Abs(right), math.Abs(up)
	var angle float64 // from the nearer axis, 0..π/2
	switch {
	case r == 0:
		angle = 0
	case r <= u:
		angle = arcTangent(r / u)
	default:
		angle = math.Pi/2 - arcTangent(u/r)
	}
	if up < 0 {
		angle = math.Pi - angle
	}
	if right < 0 && angle > 0 {
		angle = 2*math.Pi - angle
	}
	if angle >= 2*math.Pi {
		angle = 0
	}
	return angle
}

// arcTangent gives the angle in radians whose tangent is x, 0 <= x <= 1. The
// angle is halved twice, atan x = 2·atan(x / (1 + √(1 + x²))), so that the
// series converges in a dozen terms.
func arcTangent(x float64) float64 {
	for range 2 {
		x /= 1 + math.Sqrt(1+float64(x*x))
	}
	return float64(4 * float64(x*horner(float64(x*x), arcSeries)))
}
