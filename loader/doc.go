// Package loader writes a module's program, by one of two ways.
//
// With avrdude, through a programmer or a loader of another make: it chooses the exact command line, runs it with its progress
// passed through, and turns what went wrong into the builder's words with a next step. avrdude reads back and compares every
// byte that it writes, flash and fuses alike; nothing here switches that off. Loading counts as done only when avrdude says so.
//
// Over the serial line of the module's plug (docs/loading.md): it reads what the module is, refuses a wrong pair, writes page by
// page in an order that leaves a serving module at every moment, and reads everything back. The same line carries streamed light.
//
// Both ways read first what the module holds, so that a program does not end up in the wrong lamp.
//
// Not promised: that the module works. Only its memory is compared; outputs, inputs and supply are for the bench.
package loader
