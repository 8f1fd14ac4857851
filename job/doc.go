// Package job is the job document as it is written: one readable text file
// that says what each lamp is, how it is wired and what its light does.
//
// [Read] and [Parse] give a [Document] whose values carry their places. They
// see to shape, units and ranges and report every fault at once. Whether a name
// that is used is also defined, and what the values come to, is decided later.
//
// # The document
//
//	lampwright: 1                  version of the form of the document
//	note:                          free text; allowed in every mapping
//	job:                           title, customer, and the rules that apply
//	parts:                         names for the LED parts used, where the catalogue has none
//	lamps:                         what each lamp is: place, outline, LEDs, zones, light paths, functions
//	modules:                       which board drives which lamp, and which group hangs on which output
//	guard:                         what all modules do when supply or heat leave their bounds, and when they sleep
//	inputs:                        which pins the road signals and the show switches come in on
//	outages:                       outputs that load a wire for the car's lamp check
//	routines:                      pieces of choreography, made of strokes
//	signals:                       what each road signal does; the first in the list wins
//	shows:                         what each display does; all come after the signals
//
// Quantities carry their unit. Only points of a lamp's drawing may be bare
// numbers; they are millimetres then, x to the right and y up, seen from
// outside in front of the lamp's face.
//
// # Versions
//
// The first key gives the version. An older document is brought up step by
// step and a note says so; the file itself changes only when it is saved. A
// newer one is refused.
//
// Not promised: that a document that reads without fault can be built.
package job
