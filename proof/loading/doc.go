// Package loading proves the serial line: the tool's own loader against the shipped core on a simulated processor, byte by byte
// through a simulated adapter, with the supply cut in the middle of erasing and writing, strangers on the line, switches
// pressed meanwhile, and light streamed.
//
// All of it is in the tests; folder bench holds the simulated module (C, libsimavr), package model a second module in Go that
// knows no time. Not promised: what silicon does beyond its data sheet.
package loading
