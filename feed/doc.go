// Package feed says what a factory wire does, as data, and what a module has to do about it: filter counts that pass what the
// wire means and hold back what it merely does, a pull-down where it floats, the wave to try it with, and the reading of a scope
// record that shows it.
//
// A wire is described when on (steady, dimmed by pulses, chopped above a voltage), when off (test pulses, leakage) and in between
// (bounce). FilterFor compares the two patterns as the module samples them, at every clock and phase; where they cannot be told
// apart it refuses the wire with the figures.
//
// Share and Apart do the same for wires on which two functions come.
//
// Not promised: that a car does what its feed says. Figures entered from practice instead of from the wire are the builder's risk,
// and a scope record shows only what happened while it was taken.
package feed
