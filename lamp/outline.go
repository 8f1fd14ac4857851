package lamp

import "math"

// edgeMM is how far outside its outline, in mm, an LED may stand and still
// count as inside: it absorbs rounding of corners typed to a tenth or less.
const edgeMM = 0.001

// Stray is an LED outside its lamp's outline.
type Stray struct {
	LED        int     // index into Lamp.LEDs
	DistanceMM float64 // from the LED to the outline, mm
}

// Strays gives the LEDs that stand outside the outline, in layout order. An
// LED on the outline is inside. A lamp without an outline has no strays.
func (l *Lamp) Strays() []Stray {
	if len(l.Outline) < 3 {
		return nil
	}
	var strays []Stray
	for i, led := range l.LEDs {
		if inside(l.Outline, led.At) {
			continue
		}
		if d := edgeDistance(l.Outline, led.At); d > edgeMM {
			strays = append(strays, Stray{i, d})
		}
	}
	return strays
}

// inside tells whether a point lies in a polygon, by counting the edges that
// a ray to the right crosses (even-odd rule).
func inside(polygon []Point, p Point) bool {
	in := false
	for i, b := range polygon {
		a := polygon[(i+len(polygon)-1)%len(polygon)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+float64((b.X-a.X)*(p.Y-a.Y))/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// edgeDistance is the distance from a point to a polygon's nearest edge, mm.
func edgeDistance(polygon []Point, p Point) float64 {
	_, d := Path{Points: polygon, Closed: true}.Project(p)
	return d
}

// crossing tells whether two edges of the outline, not neighbours, meet, and
// which (counted from 1).
func crossing(polygon []Point) (first, second int, crosses bool) {
	n := len(polygon)
	for i := range n {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			if meet(polygon[i], polygon[i+1], polygon[j], polygon[(j+1)%n]) {
				return i + 1, j + 1, true
			}
		}
	}
	return 0, 0, false
}

// meet tells whether the straight stretches a-b and c-d have a point in common.
func meet(a, b, c, d Point) bool {
	s1, s2 := turn(a, b, c), turn(a, b, d)
	s3, s4 := turn(c, d, a), turn(c, d, b)
	if s1*s2 < 0 && s3*s4 < 0 {
		return true
	}
	return s1 == 0 && within(a, b, c) || s2 == 0 && within(a, b, d) ||
		s3 == 0 && within(c, d, a) || s4 == 0 && within(c, d, b)
}

// turn is the sign of the turn from a-b to c: +1 to the left, -1 to the right.
func turn(a, b, c Point) float64 {
	cross := float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
	switch {
	case cross > 0:
		return 1
	case cross < 0:
		return -1
	}
	return 0
}

// within tells whether p, known to be in line with a-b, lies between them.
func within(a, b, p Point) bool {
	return min(a.X, b.X) <= p.X && p.X <= max(a.X, b.X) && min(a.Y, b.Y) <= p.Y && p.Y <= max(a.Y, b.Y)
}

// polygonArea is the area of a polygon that does not cross itself, mm² (shoelace formula).
func polygonArea(polygon []Point) float64 {
	sum := 0.0
	for i, b := range polygon {
		a := polygon[(i+len(polygon)-1)%len(polygon)]
		sum += float64(a.X*b.Y) - float64(b.X*a.Y)
	}
	return math.Abs(sum) / 2
}

// OutlineAreaMM2 is the area within the outline, mm²; 0 without outline.
func (l *Lamp) OutlineAreaMM2() float64 { return polygonArea(l.Outline) }
