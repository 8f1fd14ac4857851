// Package car says what a script does to the modules of a kit: what the pins of each see, refresh by refresh, and what all of them
// together show.
//
// A Course is the first half: from presses, conditions and the feeds of the factory wires it derives the supply of every module (battery,
// fuse, diodes, what the reservoir bridges), the levels at its inputs as the taps bring them, the codes of its converter, its strap and the
// link wire. Play, the search for faults and the proof on simulated processors all follow the same course. A Rig is the second half: the
// reference engines of all modules, run together on a course, with power-ups, sleep and broken outputs.
//
// Not promised: currents. A wire that feeds a module through a diode is taken to be able to, light does not fall with the supply until
// it is gone, and a short of a tap does not reach the car's own wire: a tap is fused, or has its resistor, where it leaves the wire.
package car
