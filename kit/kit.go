// Package kit is the job as meant: patterns unrolled, opposite hands made, references resolved, every thing with the place
// in the document that it came from. Rooms that compute start here and never look at the document itself.
//
// Not promised: that a kit can be built or is legal; that is for compile and rules to say.
package kit

import (
	"slices"

	"lampwright/board"
	"lampwright/feed"
	"lampwright/lamp"
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

// OnRoad tells whether road rules bind.
func (u Use) OnRoad() bool { return u == RoadUS || u == RoadUN }

// Kit is one job, resolved.
type Kit struct {
	Title, For string
	Use        Use
	Lamps      []*Lamp // in document order
	Modules    []*Module
	Inputs     []*Input
	Routines   []*Routine
	Layers     []*Layer // signals first, then shows, highest priority first
	Guard      Guard
	Outages    []*Outage // in document order
	At         report.Place
}

// Lamp is a lamp with its functions. Geometry is lamp.Lamp's.
type Lamp struct {
	*lamp.Lamp
	Kind       string // what it is, in the builder's words
	Photo      *Photo // nil: none
	OppositeOf string // name of the lamp that it was reflected from, or ""
	Functions  []Function
	At         report.Place

	lost    []string // zones of patterns that could not be made, and were reported
	unnamed bool     // a pattern has the name of another, so that a zone of some name is missing
}

// excused tells whether a zone is missing because of what was reported before.
func (l *Lamp) excused(zone string) bool {
	_, made := l.Zone(zone)
	return !made && (l.unnamed || slices.Contains(l.lost, zone))
}

// whole tells whether all patterns of the lamp were made.
func (l *Lamp) whole() bool { return len(l.lost) == 0 && !l.unnamed }

// Photo is a photograph laid under a lamp's drawing.
type Photo struct {
	File  string       // beside the job file
	Known []KnownPoint // none, two or four
}

// KnownPoint is a point of a photograph, in pixels to the right and down, with its place on the lamp, mm.
type KnownPoint struct{ Pixel, At lamp.Point }

// Function is a road function that a lamp performs.
type Function struct {
	Name     string // tail, stop, turn, reverse, drl, fog, park, side-marker
	Groups   []int  // of the lamp, ascending
	Required bool   // replaces the car's own; false: extra, added beside it
	At       report.Place
}

// Module is a sequencer with its board, its lamp and its wiring map.
type Module struct {
	Name     string
	Board    board.Board
	Lamp     *Lamp
	Output   []int          // for each group of the lamp: output number, 0-based; -1: not wired
	WiringAt []report.Place // for each group: place of the range that wired it
	Link     string         // "", "leader", "follower"
	Fed      Fed

	Strap       bool    // its side strap must agree before any show runs; true as well for both hands of one image
	SameImageAs *Module // the module of the other hand whose image it shares; nil: it has its own. That one's is nil
	Stream      bool    // live mode is allowed
	At          report.Place
}

// Input is a wire that asks for something: a road function or a show.
type Input struct {
	Name        string
	Road        string // tail, stop, turn-lh, turn-rh, reverse, drl or fog; "" for a show switch
	ActiveLow   bool
	Feed        feed.Feed // what the factory wire does
	Pins        []Pin
	OneTap      bool         // all its pins hang on one tap of the car's wire
	CarriesStop bool         // a turn wire that lights for the brake too
	Reference   *Input       // of a wire that carries the stop: the clean stop wire that tells turn from brake; nil: none
	TurnAlone   []Pin        // of such a wire with a reference: in each of its modules the input number of the turn alone, which is no pin of the board
	Shares      *Input       // the input on whose wire this one comes as well; nil: it has a wire of its own. Its pins are then no pins of the board; the other input comes with it
	At          report.Place // of its name
	FeedAt      report.Place // of its feed, or of its name when none is written
}

// Pin is one input of one module.
type Pin struct {
	Module *Module
	In     int // 0-based: 0 is in1
	At     report.Place
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
	WindowMS *float64 // repeat window, ms; nil: not said
	KeepsMS  *float64 // holds its groups dark after release, ms; nil: not said
	LimitMS  float64  // longest run of a show, ms; 0: none
	Flasher  bool     // pace: flasher
	Ends     bool     // a show that ends when a signal takes one of its groups

	NotWhile  []*Input // of a show: any of them bars it
	OnlyWhile []*Input // of a show: one of them must be on; none: no condition
	At        report.Place
}

// Take is the set of groups of one lamp that a layer may take.
type Take struct {
	Lamp   *Lamp
	Groups []int // ascending
}

// Of gives the groups of a lamp that the layer may take, or nil.
func (l *Layer) Of(lamp *Lamp) []int {
	for _, t := range l.Takes {
		if t.Lamp == lamp {
			return t.Groups
		}
	}
	return nil
}

// Lamp finds a lamp by name.
func (k *Kit) Lamp(name string) (*Lamp, bool) { return find(k.Lamps, name, (*Lamp).name) }

// Module finds a module by name.
func (k *Kit) Module(name string) (*Module, bool) { return find(k.Modules, name, (*Module).name) }

// Input finds an input by name.
func (k *Kit) Input(name string) (*Input, bool) { return find(k.Inputs, name, (*Input).name) }

// Routine finds a routine by name.
func (k *Kit) Routine(name string) (*Routine, bool) { return find(k.Routines, name, (*Routine).name) }

// ModuleOf finds the module that drives a lamp.
func (k *Kit) ModuleOf(l *Lamp) (*Module, bool) {
	for _, m := range k.Modules {
		if m.Lamp == l {
			return m, true
		}
	}
	return nil, false
}

// InputPins gives the mask of a module's inputs that an input is wired to; bit 0 is in1.
func (m *Module) InputPins(in *Input) uint8 {
	var mask uint8
	for _, p := range in.Pins {
		if p.Module == m {
			mask |= 1 << p.In
		}
	}
	return mask
}

func (l *Lamp) name() string    { return l.Name }
func (m *Module) name() string  { return m.Name }
func (in *Input) name() string  { return in.Name }
func (r *Routine) name() string { return r.Name }

func find[T any](all []T, name string, of func(T) string) (found T, ok bool) {
	for _, t := range all {
		if of(t) == name {
			return t, true
		}
	}
	return found, false
}

func names[T any](all []T, of func(T) string) []string {
	list := make([]string, len(all))
	for i, t := range all {
		list[i] = of(t)
	}
	return list
}
