package job

import (
	"lampwright/source"
	"lampwright/units"
)

// Stroke is one gesture of light over a region.
type Stroke struct {
	source.OneKey
	// Lights progressively and stays.
	Sweep *Sweep `yaml:"sweep,omitempty"`
	// Goes dark progressively.
	Clear *Sweep `yaml:"clear,omitempty"`
	// A band of light that moves through.
	Pass *Pass `yaml:"pass,omitempty"`
	// A band of light that moves there and back.
	Swing *Pass `yaml:"swing,omitempty"`
	// The whole region rises to its light.
	FadeUp *Fade `yaml:"fade-up,omitempty"`
	// The whole region falls from its light.
	FadeDown *Fade `yaml:"fade-down,omitempty"`
	// The whole region rises and falls.
	Beat *Beat `yaml:"beat,omitempty"`
	// The whole region shows one light.
	Hold *Hold `yaml:"hold,omitempty"`
	// The groups light one after another in a shuffled order.
	Scatter *Scatter `yaml:"scatter,omitempty"`
	// Another routine runs as a part of this one.
	Call *Call `yaml:"call,omitempty"`
}

// Gesture is what all strokes but a call have in common.
type Gesture struct {
	source.At
	// The region. Unless given, all that the routine runs over.
	On source.OneOrMany[Region] `yaml:"on,omitempty" least:"1"`
	// When it begins, from the start of the routine. It is 0 ms unless given.
	Start source.Of[units.Time] `yaml:"start,omitempty" min:"0 ms" max:"10 min"`
	// How long it lasts once. Unless given, to the end of the routine.
	For source.Of[units.Time] `yaml:"for,omitempty" above:"0 ms" max:"10 min"`
	// How often it runs. It is once unless given.
	Times source.Of[int] `yaml:"times,omitempty" min:"1" max:"1000"`
	// The time from one beginning to the next. Unless given, one follows the other.
	Every source.Of[units.Time] `yaml:"every,omitempty" above:"0 ms" max:"10 min"`
	// Its light, as a share of full light. It is 100 % unless given; for a stroke that goes dark it is 0 %.
	Light source.Of[units.Share] `yaml:"light,omitempty"`
	// How it meets the light of the strokes below it. It lies over them unless given.
	Meets source.Of[Meets] `yaml:"meets,omitempty"`
}

// Travel says which way a stroke moves.
type Travel struct {
	// The direction in which it travels.
	Direction source.Of[Direction] `yaml:"direction,omitempty"`
	// The light path along which it travels.
	Along source.Name `yaml:"along,omitempty"`
	// Whether it travels from the end to the beginning.
	Backwards bool `yaml:"backwards,omitempty"`
	// Width over which dark turns into light at its front.
	Edge source.Of[units.Length] `yaml:"edge,omitempty" min:"0 mm" max:"5000 mm"`
	// How its speed runs. It is even unless given.
	Easing source.Of[Easing] `yaml:"easing,omitempty"`
	// Whether it reaches each LED at its own place, or each group as one at the middle of its LEDs. It is led unless given.
	By source.Of[By] `yaml:"by,omitempty"`
}

// By says what a stroke reaches as one.
type By string

// Ways to reach.
const (
	ByLED   By = "led"   // each LED at its own place; a group shows the mean of its LEDs
	ByWhole By = "group" // each group as one: crisp steps, and the shortest programs
)

// Words lists the ways.
func (By) Words() []string { return []string{string(ByLED), string(ByWhole)} }

// Sweep lights or darkens a region progressively.
type Sweep struct {
	Gesture
	Travel
	// The light that it starts from. Unless given, what is there.
	From source.Of[units.Share] `yaml:"from,omitempty"`
}

// Pass moves a band of light through a region, once or there and back.
type Pass struct {
	Gesture
	Travel
	// Width of the band.
	Band units.Length `yaml:"band" above:"0 mm" max:"5000 mm"`
}

// Fade changes the light of a whole region.
type Fade struct {
	Gesture
	// The light that it starts from. Unless given, what is there.
	From source.Of[units.Share] `yaml:"from,omitempty"`
	// How its speed runs. It is even unless given.
	Easing source.Of[Easing] `yaml:"easing,omitempty"`
}

// Beat lets a whole region rise and fall.
type Beat struct {
	Gesture
	// The light between two beats. Unless given, what is there.
	From source.Of[units.Share] `yaml:"from,omitempty"`
	// How its speed runs. It is even unless given.
	Easing source.Of[Easing] `yaml:"easing,omitempty"`
}

// Hold shows one light over a whole region.
type Hold struct {
	Gesture
}

// Scatter lights the groups of a region one after another in a shuffled order, the same way each time.
type Scatter struct {
	Gesture
	// The light that the groups start from. Unless given, what is there.
	From source.Of[units.Share] `yaml:"from,omitempty"`
	// How long each group glows up and down again. Unless given, a group that is lit stays lit.
	Each source.Of[units.Time] `yaml:"each,omitempty" min:"4 ms" max:"1 min"`
	// How the order runs over its time. It is even unless given.
	Easing source.Of[Easing] `yaml:"easing,omitempty"`
}

// Call runs another routine as a part of this one.
type Call struct {
	source.At
	// The routine.
	Routine source.Name `yaml:"routine"`
	// When it begins, from the start of this routine. It is 0 ms unless given.
	Start source.Of[units.Time] `yaml:"start,omitempty" min:"0 ms" max:"10 min"`
	// The time into which it is fitted. Unless given, its own length.
	For source.Of[units.Time] `yaml:"for,omitempty" above:"0 ms" max:"10 min"`
	// Whether it runs from its end to its beginning.
	Backwards bool `yaml:"backwards,omitempty"`
	// The region to which it is held. Unless given, all that it runs over.
	On source.OneOrMany[Region] `yaml:"on,omitempty" least:"1"`
	// How it meets the light of the strokes below it. It lies over them unless given.
	Meets source.Of[Meets] `yaml:"meets,omitempty"`
}

// Direction is where a stroke travels.
type Direction string

// Directions.
const (
	Inboard        Direction = "inboard"  // to the middle of the car
	Outboard       Direction = "outboard" // away from the middle of the car
	Up             Direction = "up"
	Down           Direction = "down"
	Outward        Direction = "outward" // from the centre of the region
	Inward         Direction = "inward"  // to the centre of the region
	RoundClockwise Direction = "clockwise"
	RoundAnti      Direction = "anticlockwise"
	Left           Direction = "left"  // the driver's left, at both ends of the car
	Right          Direction = "right" // the driver's right
)

// Words lists the directions.
func (Direction) Words() []string {
	return []string{string(Inboard), string(Outboard), string(Up), string(Down), string(Outward), string(Inward),
		string(RoundClockwise), string(RoundAnti), string(Left), string(Right)}
}

// Easing is how the speed of a stroke runs.
type Easing string

// Easings.
const (
	Even        Easing = "even"
	GentleStart Easing = "gentle-start"
	GentleEnd   Easing = "gentle-end"
	Gentle      Easing = "gentle" // at both ends
)

// Words lists the easings.
func (Easing) Words() []string {
	return []string{string(Even), string(GentleStart), string(GentleEnd), string(Gentle)}
}

// Meets is how a stroke meets the light below it.
type Meets string

// Ways to meet.
const (
	Over     Meets = "over"     // its light replaces what is below
	Brighter Meets = "brighter" // the brighter of both shows
	Dimmer   Meets = "dimmer"   // the dimmer of both shows
)

// Words lists the ways.
func (Meets) Words() []string { return []string{string(Over), string(Brighter), string(Dimmer)} }

// Gesture gives what the stroke has in common with others, or nil for a call.
func (s Stroke) Gesture() *Gesture {
	switch {
	case s.Sweep != nil:
		return &s.Sweep.Gesture
	case s.Clear != nil:
		return &s.Clear.Gesture
	case s.Pass != nil:
		return &s.Pass.Gesture
	case s.Swing != nil:
		return &s.Swing.Gesture
	case s.FadeUp != nil:
		return &s.FadeUp.Gesture
	case s.FadeDown != nil:
		return &s.FadeDown.Gesture
	case s.Beat != nil:
		return &s.Beat.Gesture
	case s.Hold != nil:
		return &s.Hold.Gesture
	case s.Scatter != nil:
		return &s.Scatter.Gesture
	}
	return nil
}

// Travel gives the way that the stroke moves, or nil when it does not.
func (s Stroke) Travel() *Travel {
	switch {
	case s.Sweep != nil:
		return &s.Sweep.Travel
	case s.Clear != nil:
		return &s.Clear.Travel
	case s.Pass != nil:
		return &s.Pass.Travel
	case s.Swing != nil:
		return &s.Swing.Travel
	}
	return nil
}
