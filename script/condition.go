package script

import (
	"slices"
	"strconv"

	"lampwright/units"
)

// What is a thing of the car or of the harness that a condition speaks of.
type What string

// The things that conditions speak of, and what each may be.
const (
	Supply  What = "supply"  // the car's voltage: volts, or crank
	Heat    What = "heat"    // at the boards' sensors: degrees
	Battery What = "battery" // the battery feed of a module, or of all on a fuse: gone
	Feed    What = "feed"    // a wire's diode into a module's supply, module.input: open
	Tap     What = "tap"     // a module's tap of a wire, module.in1: open, ground, supply
	Output  What = "output"  // an output, module.1: open, on
	Link    What = "link"    // the link wire: low, supply; a module's end of it: open
	Strap   What = "strap"   // the side strap in a module's plug: missing, LH, RH
	Module  What = "module"  // a module: dead
)

// What a thing may be. Supply and heat have numbers of their own.
const (
	Crank    = "crank" // the supply while the engine is started
	Gone     = "gone"
	Open     = "open"
	AtGround = "ground"
	AtSupply = "supply"
	On       = "on"
	Low      = "low"
	Missing  = "missing"
	LH       = "LH"
	RH       = "RH"
	Dead     = "dead"
)

// Condition says what a thing is from From up to, and not at, To. Of several that hold at once the one written last counts.
type Condition struct {
	What     What
	Where    string            // a module, module.in1 ...; "": all, where that makes sense
	Is       string            // one of the words above; "" when Volts or Degrees tells
	Volts    units.Voltage     // of Supply, unless it is Crank
	Degrees  units.Temperature // of Heat
	From, To units.Time        // both 0: always
}

// Holds tells whether the condition holds at a time.
func (c Condition) Holds(at units.Time) bool {
	return c.Always() || c.From <= at && at < c.To
}

// Always tells whether the condition has no beginning and no end.
func (c Condition) Always() bool { return c.To == 0 }

// Limits of conditions: wider than any car, so that slips of the unit are caught and odd cars can be played.
const (
	MaxConditions                   = 500
	MaxVolts      units.Voltage     = 40   // the surge that a suppressed alternator lets through; common practice, no source
	MinDegrees    units.Temperature = -40  // ISO 16750-4, from memory
	MaxDegrees    units.Temperature = 150  // hotter than any lamp survives; common practice, no source
	decimals                        = 1000 // volts and degrees are kept to a thousandth, so that they print as they were read
)

// thing tells what may be said of a What.
type thing struct {
	of    What
	words []string
	whole bool   // it may stand without a place
	part  bool   // it may stand with one
	where string // what the place names, for messages
}

var things = []thing{
	{Supply, []string{Crank}, true, false, ""},
	{Heat, nil, true, true, "a module"},
	{Battery, []string{Gone}, true, true, "a module or a fuse"},
	{Feed, []string{Open}, false, true, "a module and a wire that feeds it, such as rear-lh.stop"},
	{Tap, []string{Open, AtGround, AtSupply}, false, true, "an input of a module, such as rear-lh.in2"},
	{Output, []string{Open, On}, false, true, "an output of a module, such as rear-lh.13"},
	{Link, []string{Open, Low, AtSupply}, true, true, "a module"},
	{Strap, []string{Missing, LH, RH}, true, true, "a module"},
	{Module, []string{Dead}, false, true, "a module"},
}

// about finds what may be said of a word; whats lists the words.
func about(word string) (thing, bool) {
	i := slices.IndexFunc(things, func(t thing) bool { return string(t.of) == word })
	if i < 0 {
		return thing{}, false
	}
	return things[i], true
}

func whats() []string {
	var all []string
	for _, t := range things {
		all = append(all, string(t.of))
	}
	return all
}

// String prints one condition in the text form.
func (c Condition) String() string {
	text := string(c.What)
	if c.Where != "" {
		text += ":" + c.Where
	}
	text += "=" + c.is()
	if !c.Always() {
		text += "@" + span(c.From) + ".." + span(c.To)
	}
	return text
}

// is prints what the thing is.
func (c Condition) is() string {
	switch {
	case c.Is != "":
		return c.Is
	case c.What == Heat:
		return strconv.FormatFloat(float64(c.Degrees), 'f', -1, 64) + "C"
	default:
		return strconv.FormatFloat(float64(c.Volts), 'f', -1, 64) + "V"
	}
}
