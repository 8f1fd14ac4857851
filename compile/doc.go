// Package compile turns a kit into the program of each module: it samples the light of every group at frame rate, fits the
// fewest straight fades to it, packs them into dense routine code, and sets up the layers, the filters and the safe block. It
// turns the job's guard into the codes that a module compares with, gives a load for the car's lamp check a layer of its own, and
// joins the two hands of a lamp into one image.
//
// What everything downstream uses (pictures, listings, the HEX, proof) is the compiled program, never the samples. The stated
// level error is therefore measured by playing the fades, not assumed: in every frame, against the light wanted at its instant.
//
// Not promised: that the result is legal on a road (package rules speaks of that), or that the wires and LEDs can carry it.
// Speeds are no promise either; benchmarks measure them.
package compile
