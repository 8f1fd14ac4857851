package lamp

import (
	"math"

	"lampwright/report"
)

// Ref is one LED of one lamp.
type Ref struct {
	Lamp *Lamp
	LED  int // index into Lamp.LEDs
}

// Axis is a region measured along a direction.
type Axis struct {
	MM       []float64 // for each LED of the region, in mm; light travels towards greater values
	LowMM    float64   // least of MM
	HighMM   float64   // greatest of MM
	AroundMM float64   // for a direction that closes on itself, the mm of one round; else 0
}

// Along measures the LEDs of a region, which may span several lamps, along a
// direction. The result is in millimetres:
//
//	right, left          x on the vehicle, to the driver's right; -x
//	up, down             y on the vehicle; -y
//	outboard, inboard    distance from the vehicle's middle to the lamp's side, x for an RH lamp
//	                     and -x for an LH lamp; |x| for a centre lamp, both ways at once; inboard
//	                     is minus that
//	outward, inward      distance from the centre of the region; minus that
//	clockwise            angle about the centre of the region from 12 o'clock, times the mean
//	                     distance of the region's LEDs from that centre
//	anticlockwise        the same, the other way round from 12 o'clock
//	along a path         arc length on each lamp's own path of that name, at the point nearest to
//	                     the LED; back along it: the rest of the path's length from there
//
// The centre of the region is the centre of the box around its LEDs. An LED
// within 0.001 mm of the vertical above it is at 12 o'clock, and so at 0 mm.
//
// Clockwise is what a person facing the lamp sees on an LH or a centre lamp.
// On an RH lamp it is seen mirrored, running anticlockwise, so that a routine
// written once is exactly reflected. A region with LEDs of both sides is one
// picture, and clockwise is as seen; a region at both ends of the vehicle is
// seen from behind.
//
// For every heading that mirrors (all but left and right), the result for LEDs
// of opposite hands is bit-identical to that for the lamps themselves. The
// exception is clockwise and anticlockwise over centre lamps alone or over both
// sides at once: such a region has no opposite hand.
func Along(region []Ref, d Direction) (Axis, error) {
	if len(region) == 0 {
		return Axis{}, report.Errorf("region", report.Place{}, "a stroke has no LED to go over").Do("name a zone or a group that has LEDs")
	}
	var axis Axis
	var err error
	if d.Heading == AlongPath {
		axis, err = alongPaths(region, d)
	} else {
		axis = alongHeading(region, d.Heading)
	}
	if err != nil {
		return Axis{}, err
	}
	axis.LowMM, axis.HighMM = axis.MM[0], axis.MM[0]
	for i := range axis.MM {
		axis.LowMM, axis.HighMM = min(axis.LowMM, axis.MM[i]), max(axis.HighMM, axis.MM[i])
	}
	return axis, nil
}

// Places gives the positions of the region's LEDs on the vehicle, mm.
func Places(region []Ref) []Point {
	points := make([]Point, len(region))
	var last *Lamp
	var frame Frame
	for i, r := range region {
		if r.Lamp != last {
			last, frame = r.Lamp, r.Lamp.Frame()
		}
		points[i] = frame.Vehicle(r.Lamp.LEDs[r.LED].At)
	}
	return points
}

func alongHeading(region []Ref, h Heading) Axis {
	points := Places(region)
	axis := Axis{MM: make([]float64, len(points))}
	fill := func(value func(i int) float64) {
		for i := range points {
			axis.MM[i] = noNegativeZero(value(i))
		}
	}
	box, _ := BoxOf(points)
	centre := box.Centre()
	switch h {
	case Right:
		fill(func(i int) float64 { return points[i].X })
	case Left:
		fill(func(i int) float64 { return -points[i].X })
	case Up:
		fill(func(i int) float64 { return points[i].Y })
	case Down:
		fill(func(i int) float64 { return -points[i].Y })
	case Outboard:
		fill(func(i int) float64 { return outboard(region[i].Lamp.Place.Side, points[i].X) })
	case Inboard:
		fill(func(i int) float64 { return -outboard(region[i].Lamp.Place.Side, points[i].X) })
	case Outward:
		fill(func(i int) float64 { return distance(points[i], centre) })
	case Inward:
		fill(func(i int) float64 { return -distance(points[i], centre) })
	case Clockwise, Anticlockwise:
		sign := clockwiseSign(region)
		if h == Anticlockwise {
			sign = -sign
		}
		sum := 0.0
		for _, p := range points {
			sum += distance(p, centre)
		}
		radius := sum / float64(len(points))
		fill(func(i int) float64 {
			right, up := float64(sign*(points[i].X-centre.X)), points[i].Y-centre.Y
			if up > 0 && math.Abs(right) < tieMM {
				right = 0
			}
			return float64(bearing(right, up) * radius)
		})
		axis.AroundMM = float64(2 * math.Pi * radius)
	}
	return axis
}

// outboard is the distance towards the side of the lamp, mm.
func outboard(side Side, x float64) float64 {
	switch side {
	case LH:
		return -x
	case RH:
		return x
	}
	return math.Abs(x)
}

// clockwiseSign is +1 if clockwise runs from 12 o'clock towards the vehicle's
// right, -1 if towards its left.
func clockwiseSign(region []Ref) float64 {
	var rear, left, right bool
	for _, r := range region {
		rear = rear || r.Lamp.Place.End == Rear
		left = left || r.Lamp.Place.Side == LH
		right = right || r.Lamp.Place.Side == RH
	}
	sign := 1.0
	if !rear {
		sign = -sign
	}
	if right && !left {
		sign = -sign
	}
	return sign
}

func alongPaths(region []Ref, d Direction) (Axis, error) {
	axis := Axis{MM: make([]float64, len(region))}
	var last *Lamp
	var t track
	var length float64
	var closed bool
	for i, r := range region {
		if r.Lamp != last {
			path, ok := r.Lamp.Path(d.Path)
			if !ok {
				return Axis{}, noPath(r.Lamp, d.Path)
			}
			t = path.track()
			length, closed = t.length(), path.Closed
			around := 0.0
			if closed {
				around = length
			}
			if last == nil {
				axis.AroundMM = around
			} else if around != axis.AroundMM {
				axis.AroundMM = 0 // rounds of different lengths do not close together
			}
			last = r.Lamp
		}
		along, _ := t.project(r.Lamp.LEDs[r.LED].At)
		if d.Back {
			along = length - along
			if closed && along == length {
				along = 0 // the joint is the start, whichever way round
			}
		}
		axis.MM[i] = along
	}
	return axis, nil
}

func noPath(l *Lamp, name string) error {
	var names []string
	for _, p := range l.Paths {
		names = append(names, p.Name)
	}
	d := report.Errorf("light-path", report.Place{}, "lamp %s has no light path %q", l.Name, name).
		Do("draw the path in this lamp, or leave the lamp out of the stroke").DidYouMean(name, names)
	return d
}
