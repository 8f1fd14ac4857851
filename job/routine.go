package job

import (
	"lampwright/source"
	"lampwright/units"
)

// Routine is a piece of choreography over one or more lamps.
type Routine struct {
	source.At
	// How long it lasts. Unless given, it ends with its last stroke; one that only holds has no end.
	Length source.Of[units.Time] `yaml:"length,omitempty" above:"0 ms" max:"10 min"`
	// The lamps over which it runs as over one. Unless given, each lamp runs it by itself.
	Across source.OneOrMany[source.Name] `yaml:"across,omitempty" least:"1" most:"32"`
	// Start value of everything scattered; another number gives another scatter.
	Seed source.Of[int] `yaml:"seed,omitempty" min:"0" max:"65535"`
	// What the light does. Later strokes lie over earlier ones.
	Strokes []Stroke `yaml:"strokes" least:"1" most:"200"`
}

// Signal says what a road signal does.
type Signal struct {
	source.At
	// The input that calls it.
	Input source.Name `yaml:"input"`
	// The groups that it may take.
	Takes source.OneOrMany[Region] `yaml:"takes" least:"1"`
	// The routine that runs when it comes.
	Arrive source.Name `yaml:"arrive,omitempty"`
	// The routine that runs, over and over, while it lasts.
	Stay source.Name `yaml:"stay,omitempty"`
	// The routine that runs when it goes.
	Leave source.Name `yaml:"leave,omitempty"`
	// The time after it goes within which its return skips the arrive routine.
	RepeatWindow source.Of[units.Time] `yaml:"repeat-window,omitempty" min:"0 ms" max:"1 min"`
	// How its time is scaled. It is fixed unless given.
	Pace source.Of[Pace] `yaml:"pace,omitempty"`
	// How long it keeps its groups dark after it went, so that nothing else shows between two flashes.
	Keeps source.Of[units.Time] `yaml:"keeps,omitempty" min:"0 ms" max:"10 s"`
	// For shows only: a signal is never barred, and writing this here is refused.
	NotWhile source.OneOrMany[source.Name] `yaml:"not-while,omitempty"`
	// For shows only: a signal is never barred, and writing this here is refused.
	OnlyWhile source.OneOrMany[source.Name] `yaml:"only-while,omitempty"`
}

// Pace says how a routine's time is scaled.
type Pace string

// Paces.
const (
	Fixed   Pace = "fixed"   // as written
	Flasher Pace = "flasher" // stretched to the on-time of the car's own flasher
)

// Words lists the paces.
func (Pace) Words() []string { return []string{string(Fixed), string(Flasher)} }

// Show says what a display does.
type Show struct {
	source.At
	// The input that calls it.
	Input source.Name `yaml:"input"`
	// The groups that it may take. Unless given, all that its routines touch.
	Takes source.OneOrMany[Region] `yaml:"takes,omitempty" least:"1"`
	// The routine that runs when it comes.
	Arrive source.Name `yaml:"arrive,omitempty"`
	// The routine that runs, over and over, while it lasts.
	Stay source.Name `yaml:"stay,omitempty"`
	// The routine that runs when it goes.
	Leave source.Name `yaml:"leave,omitempty"`
	// The longest time that it runs.
	Limit source.Of[units.Time] `yaml:"limit,omitempty" above:"0 ms" max:"2 h"`
	// The time after it goes within which its return skips the arrive routine.
	RepeatWindow source.Of[units.Time] `yaml:"repeat-window,omitempty" min:"0 ms" max:"1 min"`
	// What becomes of it when a road signal takes its groups. It runs on unless given.
	Interrupted source.Of[Interrupted] `yaml:"interrupted,omitempty"`
	// Inputs any of which bars it, such as ignition.
	NotWhile source.OneOrMany[source.Name] `yaml:"not-while,omitempty" least:"1" most:"8"`
	// Inputs one of which must be on for it to run.
	OnlyWhile source.OneOrMany[source.Name] `yaml:"only-while,omitempty" least:"1" most:"8"`
}

// Interrupted says what becomes of a show whose groups a road signal takes.
type Interrupted string

// Ways to go on.
const (
	RunsOn Interrupted = "runs-on" // it continues unseen and is seen again afterwards
	Ends   Interrupted = "ends"    // it is over
)

// Words lists the ways.
func (Interrupted) Words() []string { return []string{string(RunsOn), string(Ends)} }
