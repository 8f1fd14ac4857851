// Package lamp holds the geometry of lamps: where every LED stands, which
// LEDs light together, and along which line a movement of light is measured.
//
// A [Lamp] is drawn in its own plane, in millimetres, x to the right and y up
// as a person sees it who stands in front of it and looks at it. Its [Place]
// says where the centre of its face sits on the vehicle: x to the right of the
// driver, y up, seen from behind. A rear lamp's x runs with the vehicle's x; a
// front lamp's x runs against it, because who faces the front of the vehicle
// has the driver's left at his right.
//
// Patterns ([Grid], [Ring], [Line] and others) give the positions of LEDs in
// order and [Unroll] cuts them into groups. [Lamp.Opposite] reflects a lamp;
// reflecting twice gives the same lamp back bit for bit. [Along] measures a
// set of LEDs along a [Direction]; for a reflected lamp it gives bit-identical
// millimetres, so that one routine serves both sides of a vehicle.
//
// Arithmetic is the same on every processor: sums of products are rounded step
// by step, and sines and arcs are computed here (see exact.go).
//
// Not promised: optics. The lit area is that of the LEDs behind the lens as
// drawn, not the apparent surface that a test house measures.
package lamp
