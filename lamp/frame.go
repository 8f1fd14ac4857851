package lamp

// Frame turns positions in a lamp's plane into positions on the vehicle. Make
// it once for many positions.
type Frame struct {
	centre Point   // of the face, in the lamp's plane, mm
	at     Point   // the same on the vehicle, mm
	along  float64 // +1 if the lamp's x runs with the vehicle's x, -1 if against it
}

// Frame gives the lamp's frame. The centre of the face is the centre of the
// outline's bounding box, or of the LEDs' if no outline is drawn.
func (l *Lamp) Frame() Frame {
	box, _ := l.Bounds()
	f := Frame{centre: box.Centre(), at: l.Place.At, along: 1}
	if l.Place.End == Front {
		f.along = -1
	}
	return f
}

// Vehicle gives the place on the vehicle of a point in the lamp's plane, mm: x
// to the right of the driver, y up, seen from behind.
func (f Frame) Vehicle(p Point) Point {
	return Point{
		noNegativeZero(f.at.X + float64(f.along*(p.X-f.centre.X))),
		noNegativeZero(f.at.Y + (p.Y - f.centre.Y)),
	}
}

// Local is the inverse of Vehicle, up to rounding: the point in the lamp's
// plane at a place on the vehicle, mm.
func (f Frame) Local(p Point) Point {
	return Point{
		noNegativeZero(f.centre.X + float64(f.along*(p.X-f.at.X))),
		noNegativeZero(f.centre.Y + (p.Y - f.at.Y)),
	}
}

// Vehicle is Frame().Vehicle for a single point.
func (l *Lamp) Vehicle(p Point) Point { return l.Frame().Vehicle(p) }

// VehicleX is the x on the vehicle of a point in the lamp's plane: mm to the
// right of the driver's middle.
func (l *Lamp) VehicleX(p Point) float64 { return l.Frame().Vehicle(p).X }
