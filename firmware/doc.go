// Package firmware holds the program that runs in every module, as prebuilt Intel HEX: a portable core in C (core/), what two
// boards and their processor add to it in assembler (avr/), and the serial loader (loader/). The rules it follows are docs/engine.md; the bytes it
// reads, docs/image-format.md; what it says over the line, docs/loading.md.
//
// The package itself is only the HEX and a note of what built it, so that a builder needs no compiler. Its tests build the
// core for the host and compare it with the reference engine of package program, refresh by refresh, and rebuild the HEX.
// Not promised: anything about a board other than the two in avr/board.h.
package firmware
