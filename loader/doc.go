// Package loader writes a module's HEX into its controller with avrdude: it chooses the exact command line, runs it with
// its progress passed through, and turns what went wrong into the builder's words with a next step.
//
// avrdude reads back and compares every byte that it writes, flash and fuses alike; nothing here switches that off. Loading
// counts as done only when avrdude says so.
//
// Not promised: that the module works. Only its memory is compared; outputs, inputs and supply are for the bench.
package loader
