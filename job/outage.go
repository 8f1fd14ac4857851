package job

import (
	"strconv"
	"strings"

	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

// Outage is an output that loads a factory wire with a resistor, so that the car's lamp check finds the current of a bulb.
type Outage struct {
	source.At
	// The input whose wire the car checks.
	Input source.Name `yaml:"input"`
	// The output that switches the load, as in rear-lh.31. No group hangs on it.
	On Output `yaml:"on"`
	// What the car does when it finds too little current.
	Kind OutageKind `yaml:"kind"`
	// The current below which it does so.
	Threshold units.Current `yaml:"threshold" above:"0 mA" max:"5 A"`
	// How long after the wire comes on the car looks. Unless given, as long as the wire is on.
	Window source.Of[units.Time] `yaml:"window,omitempty" above:"0 ms" max:"10 s"`
	// The resistor that the output switches.
	Load units.Resistance `yaml:"load" min:"1 ohm" max:"10 kohm"`
	// The power that the resistor bears, as its data sheet says.
	Rating source.Of[units.Power] `yaml:"rating,omitempty" above:"0 W" max:"100 W"`
	// An input that is on while the lamp's light is whole. While it is off the load stays off, and the car finds the fault.
	Sense source.Name `yaml:"sense,omitempty"`
}

// OutageKind is what a car does when a lamp draws too little.
type OutageKind string

// Kinds of outage.
const (
	Message   OutageKind = "message"    // it tells the driver
	FlashRate OutageKind = "flash-rate" // its flasher hurries
	ShutOff   OutageKind = "shut-off"   // it switches the wire off
)

// Words lists the kinds.
func (OutageKind) Words() []string {
	return []string{string(Message), string(FlashRate), string(ShutOff)}
}

// Output is an output of a module, written module.number.
type Output struct {
	Module string
	Number int // from 1
	Where  report.Place
}

// outputExpected says what an output looks like.
const outputExpected = "a module and one of its outputs, as in rear-lh.31"

// String gives the output in the document's form.
func (o Output) String() string { return o.Module + "." + strconv.Itoa(o.Number) }

// DecodeSource reads an output.
func (o *Output) DecodeSource(v source.Value) {
	if v.Kind() != source.Scalar {
		v.Fail("", outputExpected)
		return
	}
	module, number, found := strings.Cut(v.Text(), ".")
	n, problem := ordinal(number, OutputLimit)
	switch {
	case !found:
		v.Fail("it names no output", outputExpected)
	case source.NameProblem(module) != "":
		v.Fail("the module's name cannot be one: "+source.NameProblem(module), outputExpected)
	case problem != "":
		v.Fail("the output's number cannot be one: "+problem, outputExpected)
	default:
		*o = Output{Module: module, Number: n, Where: v.Place()}
	}
}
