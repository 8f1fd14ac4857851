package job

import (
	"lampwright/source"
)

// Version is the version of the document's form that this program writes.
const Version = 1

// Limits of a document.
const (
	TitleLimitRunes = 120  // runes of a title or a customer's name
	NoteLimitRunes  = 8192 // runes of a note; the limit of any text
	PointLimit      = 2000 // points of one outline, line or light path
	LEDLimit        = 4096 // LEDs of one pattern
	OutputLimit     = 512  // highest output number of a module
	StrokeLimit     = 200  // strokes of one routine
)

// Document is one job: what the lamps are, how they are wired and what their
// light does.
type Document struct {
	source.At
	// Version of the form of this document. This program writes version 1.
	Version int `yaml:"lampwright" min:"1" such:"1"`
	// What is built, for whom, and for which roads.
	Job Job `yaml:"job"`
	// Names for LED parts, where the catalogue's own names are not used.
	Parts source.Map[Part] `yaml:"parts,omitempty"`
	// The lamps of the job, by name.
	Lamps source.Map[Lamp] `yaml:"lamps" least:"1"`
	// The modules that drive the lamps, by name.
	Modules source.Map[Module] `yaml:"modules,omitempty"`
	// What the modules do when supply or heat leave their bounds, and when nothing is asked of them.
	Guard *Guard `yaml:"guard,omitempty"`
	// Where signals and switches come in. The names tail, stop, turn-lh, turn-rh, reverse, drl and fog are road signals; any other name is a show switch.
	Inputs source.Map[Input] `yaml:"inputs,omitempty"`
	// Outputs that load a wire for the car's lamp check, by name.
	Outages source.NamedList[Outage] `yaml:"outages,omitempty"`
	// Pieces of choreography, by name.
	Routines source.Map[Routine] `yaml:"routines,omitempty"`
	// What each road signal does, in order of priority: the first wins.
	Signals source.NamedList[Signal] `yaml:"signals,omitempty"`
	// What each display does, in order of priority; all of them come after the signals.
	Shows source.NamedList[Show] `yaml:"shows,omitempty"`

	file *source.File
}

// File gives the text that the document was read from, after any upgrade.
func (d *Document) File() *source.File { return d.file }

// Job says what is built, for whom, and for which roads.
type Job struct {
	source.At
	// What is built, as it appears on every paper.
	Title string `yaml:"title" long:"120"`
	// The customer.
	For string `yaml:"for,omitempty" long:"120"`
	// Whose rules apply.
	Use Use `yaml:"use"`
}

// Use says whose road rules apply: those of the United States, the UN
// regulations, or none because the car stays off the road.
type Use string

// Uses.
const (
	RoadUS   Use = "road-us"
	RoadUN   Use = "road-un"
	ShowOnly Use = "show-only"
)

// Words lists the uses.
func (Use) Words() []string { return []string{string(RoadUS), string(RoadUN), string(ShowOnly)} }

// Part is an LED part under a name of the builder's own.
type Part struct {
	source.At
	// Colour of its light.
	Colour Colour `yaml:"colour"`
}

// Colour is the colour of an LED's light, in the words of the trade.
type Colour string

// Colours.
const (
	Red       Colour = "red"
	Amber     Colour = "amber"
	Yellow    Colour = "yellow"
	White     Colour = "white"
	WarmWhite Colour = "warm-white"
	Blue      Colour = "blue"
	Green     Colour = "green"
)

// Words lists the colours.
func (Colour) Words() []string {
	return []string{string(Red), string(Amber), string(Yellow), string(White), string(WarmWhite), string(Blue), string(Green)}
}
