package lamp

import (
	"math"
	"strconv"
)

// Point is a position in millimetres.
type Point struct{ X, Y float64 }

func (p Point) String() string { return "(" + mm(p.X) + ", " + mm(p.Y) + ") mm" }

// finite tells whether both coordinates are numbers.
func (p Point) finite() bool { return finite(p.X) && finite(p.Y) }

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Box is an upright rectangle in millimetres.
type Box struct{ Min, Max Point }

// BoxOf gives the smallest box around points. It is false without points.
func BoxOf(points []Point) (Box, bool) {
	if len(points) == 0 {
		return Box{}, false
	}
	b := Box{points[0], points[0]}
	for _, p := range points[1:] {
		b.Min.X, b.Max.X = min(b.Min.X, p.X), max(b.Max.X, p.X)
		b.Min.Y, b.Max.Y = min(b.Min.Y, p.Y), max(b.Max.Y, p.Y)
	}
	return b, true
}

// Centre is the middle of the box, mm.
func (b Box) Centre() Point {
	return Point{float64((b.Min.X + b.Max.X) / 2), float64((b.Min.Y + b.Max.Y) / 2)}
}

// Width is the box's extent along x, mm.
func (b Box) Width() float64 { return b.Max.X - b.Min.X }

// Height is the box's extent along y, mm.
func (b Box) Height() float64 { return b.Max.Y - b.Min.Y }

// mm writes a length for a message, to a hundredth of a millimetre.
func mm(x float64) string {
	return strconv.FormatFloat(noNegativeZero(math.Round(x*100)/100), 'f', -1, 64)
}

// noNegativeZero turns -0 into 0, so that equal lengths have equal bits.
func noNegativeZero(x float64) float64 {
	if x == 0 {
		return 0
	}
	return x
}
