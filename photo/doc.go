// Package photo reads photographs of lamps: within limits, the right way up, and, of a lit lamp, its bright spots as places where LEDs
// may be.
//
// Not promised: that a spot is an LED. Reflections are bright too; the builder looks and decides.
package photo
