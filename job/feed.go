package job

import (
	"lampwright/source"
	"lampwright/units"
)

// Feed says what a factory wire does, by hand or as a scope record showed it.
type Feed struct {
	source.At
	// What the wire does while it asks for something.
	Kind FeedKind `yaml:"kind"`
	// Dimmed: the share of the time for which it is high while it is on.
	Duty source.Of[units.Share] `yaml:"duty,omitempty"`
	// Dimmed: how often it pulses while it is on.
	Frequency source.Of[units.Frequency] `yaml:"at,omitempty"`
	// Chopped above a supply voltage, to spare bulbs.
	Chopped *Chopped `yaml:"chopped,omitempty"`
	// Pulses with which the car tests its lamps while they are off.
	TestPulse *TestPulse `yaml:"test-pulse,omitempty"`
	// What the wire floats at while it is off.
	Leak *Leak `yaml:"leak,omitempty"`
	// A resistor to ground that the kit fits at the module, against a wire that floats.
	PullDown source.Of[units.Resistance] `yaml:"pull-down,omitempty"`
	// How long its contact bounces.
	Bounce source.Of[units.Time] `yaml:"bounce,omitempty"`
}

// FeedKind is what a factory wire does while it asks for something.
type FeedKind string

// Kinds of feed.
const (
	FeedSteady  FeedKind = "steady"  // high while it asks
	FeedFlasher FeedKind = "flasher" // high and low in turn, once or twice a second
	FeedDimmed  FeedKind = "dimmed"  // high and low in turn, many times a second
	FeedRelay   FeedKind = "relay"   // steady, from a contact that bounces
)

// Words lists the kinds.
func (FeedKind) Words() []string {
	return []string{string(FeedSteady), string(FeedFlasher), string(FeedDimmed), string(FeedRelay)}
}

// Chopped is how a feed is chopped above a supply voltage.
type Chopped struct {
	source.At
	// The supply voltage above which it is chopped.
	Above units.Voltage `yaml:"above"`
	// The share of the time for which it is high.
	Duty units.Share `yaml:"duty"`
	// How often it is chopped.
	Frequency units.Frequency `yaml:"at"`
}

// TestPulse is a pulse with which the car tests a lamp that is off.
type TestPulse struct {
	source.At
	// How long a pulse is.
	Width units.Time `yaml:"width"`
	// The time from pulse to pulse. Unless given, single pulses.
	Every source.Of[units.Time] `yaml:"every,omitempty"`
}

// Leak is what an open wire floats at: a voltage behind a resistance, such as that of a bulb check.
type Leak struct {
	source.At
	// The voltage, without a load.
	Volts units.Voltage `yaml:"volts"`
	// The resistance behind it, if it is known.
	Through source.Of[units.Resistance] `yaml:"through,omitempty"`
}
