// Package light tells how bright every LED of a lamp is at every instant: the
// choreography, before any thought of wires.
//
// A [Routine] is a list of strokes over a [Stage], which is the LEDs of one or
// several lamps in common coordinates. A [Stroke] is one gesture of light over
// a region; it says when and where it acts and how it meets what lies below
// it. Later strokes lie over earlier ones; below the first one all is dark.
// Where and while a stroke does not act, it leaves what is below alone.
//
// Light goes in and out as a share of linear light, 0..1. In between it is
// lightness (CIE 1976 L*), so that fades and soft edges look even.
//
// [Routine.At] is the definition, written to be read. [Sampler] gives the same
// light for whole groups at frame rate and is written to be fast; tests hold
// the two together, bit for bit.
//
// The same routine gives the same bits on every processor.
//
// Not promised: what the lamp can show. Steps of duty, frames and the number of
// fades a module can hold are the business of later rooms.
package light
