package lamp

import (
	"math"

	"lampwright/report"
)

// Ring is Count LEDs at equal angles round a full circle.
type Ring struct {
	Centre        Point
	RadiusMM      float64
	Count         int
	StartDeg      float64 // of the first LED, from 12 o'clock, clockwise, degrees
	Anticlockwise bool    // the order runs anticlockwise as seen by who faces the lamp
}

func (r Ring) lay(bool) (laid, report.List) {
	var wrong report.List
	wrong = countLEDs(wrong, r.Count, 2)
	wrong = round(wrong, r.Centre, r.RadiusMM, r.StartDeg)
	if len(wrong) > 0 {
		return laid{}, wrong
	}
	return circle(r.Centre, r.RadiusMM, r.StartDeg, 360, r.Count, r.Count, r.Anticlockwise), nil
}

// Arc is Count LEDs at equal angles along a part of a circle, ends included.
type Arc struct {
	Centre        Point
	RadiusMM      float64
	Count         int
	StartDeg      float64 // of the first LED, from 12 o'clock, clockwise, degrees
	SweepDeg      float64 // angle from the first to the last LED, above 0 and below 360 degrees
	Anticlockwise bool    // the order runs anticlockwise as seen by who faces the lamp
}

func (a Arc) lay(bool) (laid, report.List) {
	var wrong report.List
	wrong = countLEDs(wrong, a.Count, 2)
	wrong = round(wrong, a.Centre, a.RadiusMM, a.StartDeg)
	if !(a.SweepDeg > 0 && a.SweepDeg < 360) {
		wrong.Add(report.Errorf("pattern", report.Place{}, "an arc cannot sweep %s degrees", mm(a.SweepDeg)).
			Expect("more than 0 and less than 360 degrees").Do("use a ring for the full circle; anticlockwise instead of a minus sign"))
	}
	if len(wrong) > 0 {
		return laid{}, wrong
	}
	return circle(a.Centre, a.RadiusMM, a.StartDeg, a.SweepDeg, a.Count, a.Count-1, a.Anticlockwise), nil
}

// round refuses circles that are none.
func round(wrong report.List, centre Point, radiusMM, startDeg float64) report.List {
	wrong = allFinite(wrong, centre, Point{radiusMM, startDeg})
	if !(radiusMM > 0) {
		wrong.Add(report.Errorf("pattern", report.Place{}, "a circle cannot have a radius of %s mm", mm(radiusMM)).Do("give a radius above 0 mm"))
	}
	return wrong
}

// chordDeg is the longest stretch, in degrees, by which a light path cuts a
// circle's corner: arc lengths are right to 1 part in 8000.
const chordDeg = 3

// circle lays count LEDs in steps of sweepDeg/gaps degrees. It closes if there
// are as many gaps as LEDs.
func circle(centre Point, radiusMM, startDeg, sweepDeg float64, count, gaps int, anticlockwise bool) laid {
	pieces := int(math.Ceil(sweepDeg / float64(gaps) / chordDeg))
	at := func(piece int) Point {
		turn := float64(sweepDeg*float64(piece)) / float64(gaps*pieces)
		if anticlockwise {
			turn = -turn
		}
		sin, cos := sinCos(startDeg + turn)
		return Point{centre.X + float64(radiusMM*sin), centre.Y + float64(radiusMM*cos)}
	}
	var out laid
	for i := range count {
		out.points = append(out.points, at(i*pieces))
	}
	last := gaps * pieces // of an arc
	if out.path.Closed = gaps == count; out.path.Closed {
		last--
	}
	for piece := 0; piece <= last; piece++ {
		out.path.Points = append(out.path.Points, at(piece))
	}
	out.pitchMM = out.path.LengthMM() / float64(gaps)
	return out
}
