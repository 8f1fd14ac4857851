// Package kit is the job as meant: patterns unrolled, opposite hands made, references resolved, every thing with the place
// in the document that it came from. Rooms that compute start here and never look at the document itself.
//
// Not promised: that a kit can be built or is legal; that is for compile, circuit, harness and rules to say.
package kit

import (
	"lampwright/board"
	"lampwright/lamp"
	"lampwright/light"
	"lampwright/report"
)

// Use is where the kit may be used; it decides which rules bind.
type Use string

// The uses of a kit.
const (
	RoadUS   Use = "road-us"
	RoadUN   Use = "road-un"
	ShowOnly Use = "show-only"
)

// Kit is one job, resolved.
type Kit struct {
	Title, For string
	Use        Use
	Lamps      []*Lamp // in document order
	Modules    []*Module
	Inputs     []*Input
	Routines   []*Routine
	Layers     []*Layer // signals first, then shows, highest priority first
	At         report.Place
}

// Lamp is a lamp with its functions. Geometry is lamp.Lamp's.
type Lamp struct {
	*lamp.Lamp
	OppositeOf string // name of the lamp it was reflected from, or ""
	Functions  []Function
	At         report.Place
}

// Function is a road function that a lamp performs.
type Function struct {
	Name     string // tail, stop, turn, reverse, drl, fog, park, side-marker
	Groups   []int  // of the lamp
	Required bool   // replaces the car's own; false: extra, added beside it
	At       report.Place
}

// Module is a sequencer with its board, its lamp and its wiring map.
type Module struct {
	Name     string
	Board    board.Board
	Lamp     *Lamp
	Output   []int  // for each group of the lamp: output number, 0-based; -1: not wired
	Link     string // "", "leader", "follower"
	At       report.Place
	WiringAt []report.Place // place of the range that wired each group
}

// Input is a wire that asks for something: a road function or a show.
type Input struct {
	Name      string
	Road      string // "tail", "stop", "turn-lh", "turn-rh", "reverse", "drl", "fog"; "" for a show input
	ActiveLow bool
	Pins      []Pin
	At        report.Place
}

// Pin is one input of one module.
type Pin struct {
	Module *Module
	In     int // 0-based: 0 is in1
	At     report.Place
}

// Routine is a routine bound to every stage (lamp or set of lamps) that it fits.
type Routine struct {
	Name     string
	LengthMS float64
	Across   []*Lamp // lamps it runs across in vehicle coordinates; nil: each lamp by itself
	Seed     uint64
	At       report.Place
	// Stage gives the routine resolved on the lamps it is played on; it is built on first use for one lamp, or once for Across.
	stages map[string]*Bound
}

// Bound is a routine resolved on a stage: the light of every LED of its lamps.
type Bound struct {
	Lamps   []*Lamp
	Stage   *light.Stage
	Routine *light.Routine
	Touches map[string][]int // lamp name -> groups whose light the routine can change, sorted
}

// Layer is a signal or a show.
type Layer struct {
	Name     string
	Show     bool
	Input    *Input
	Takes    []Take // by lamp, in document order
	Arrive   *Routine
	Stay     *Routine
	Leave    *Routine
	WindowMS float64 // repeat window
	KeepsMS  float64 // holds its groups dark after release
	LimitMS  float64 // 0: none
	Flasher  bool    // pace: flasher
	Ends     bool    // a show that ends when a signal takes one of its groups
	At       report.Place
}

// Take is the set of groups of one lamp that a layer may take.
type Take struct {
	Lamp   *Lamp
	Groups []int // sorted
}
