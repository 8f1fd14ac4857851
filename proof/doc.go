// Package proof runs the HEX files that ship on simulated processors and hands back what their lamps showed.
//
// The model is the promise, the image is the proof: the reference engine says which word every module must latch in every
// refresh and for how long it must be lit, and this package shows what the shipped bytes really do. One to eight modules run
// together, joined by the link wire, each with its own clock error; presses, codes of the converter, the side strap, bytes on the
// serial line, losses of the supply, damaged flash bytes, resets and faults of the wire come from a list of events. A Trial makes
// that list from a script, by way of package car.
//
// The processor is libsimavr's ATmega328P, driven by a small C bench (folder harness) that is compiled with gcc at the first
// use and kept in a folder that the caller names. Where that is not possible the result is a NotProven error that says so; it
// never passes for a proof.
//
// Not promised: electrical behaviour (a supply is there or not there), the light of a real LED after a pulse of two microseconds, and
// opcodes or registers that libsimavr models wrongly, beyond those that the harness puts right: pins and SPI, the converter, the
// EEPROM, the serial line, power-down, and the 16 384 cycles that a crystal takes to start.
package proof
