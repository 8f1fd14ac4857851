package job

import (
	"fmt"
	"strings"

	"lampwright/report"
	"lampwright/source"
)

// Module is the sequencer in or near a lamp.
type Module struct {
	source.At
	// The kind of board.
	Board source.Name `yaml:"board"`
	// The lamp that it drives.
	Lamp source.Name `yaml:"lamp"`
	// Which group hangs on which output: for each pattern or LED, the outputs of its groups in the order of the groups. What is not named hangs on none.
	Wiring source.Map[Outputs] `yaml:"wiring,omitempty"`
	// Its part in keeping several modules in step. It is none unless given.
	Link source.Of[Link] `yaml:"link,omitempty"`
	// How it is fed.
	Fed *Fed `yaml:"fed,omitempty"`
	// True when the strap in its plug must say the side of its lamp before any show runs.
	Strap bool `yaml:"strap,omitempty"`
	// The module of the other hand whose image this one shares; the strap in the plug tells them apart.
	SameImageAs source.Name `yaml:"same-image-as,omitempty"`
	// True when light may be streamed to it live over its serial pins.
	Stream bool `yaml:"stream,omitempty"`
}

// Link is a module's part in keeping several modules in step.
type Link string

// Links.
const (
	Leader   Link = "leader"
	Follower Link = "follower"
	NoLink   Link = "none"
)

// Words lists the links.
func (Link) Words() []string { return []string{string(Leader), string(Follower), string(NoLink)} }

// Outputs lists outputs of a module as runs, in the order of the groups that
// hang on them: 1..12, 12..1, 7, or several of these; none for a group that
// hangs on no output.
type Outputs struct {
	Runs  []Run
	Where report.Place
}

// outputsExpected says what a list of outputs looks like.
const outputsExpected = "outputs such as 1..12, 12..1, 7 or [19..24, 13..18]; none for a group that hangs on no output, or alone for all of them"

// InputLimit is the most inputs that any board has.
const InputLimit = 8

// noOutput is the word for a group that hangs on no output; such a run has the number 0.
const noOutput = "none"

// Numbers lists the outputs one by one; 0 is none.
func (o Outputs) Numbers() (numbers []int) {
	for _, run := range o.Runs {
		numbers = append(numbers, run.Numbers()...)
	}
	return numbers
}

// For lists the outputs of so many groups: none alone stands for all of them.
func (o Outputs) For(groups int) []int {
	if numbers := o.Numbers(); len(numbers) != 1 || numbers[0] != 0 {
		return numbers
	}
	return make([]int, groups)
}

// String gives the outputs in the document's form.
func (o Outputs) String() string {
	runs := make([]string, len(o.Runs))
	for i, run := range o.Runs {
		runs[i] = run.output()
	}
	return strings.Join(runs, ", ")
}

// DecodeSource reads one run, several behind commas, or a list of them.
func (o *Outputs) DecodeSource(v source.Value) {
	o.Where = v.Place()
	switch v.Kind() {
	case source.List:
		for _, item := range v.Items() {
			o.add(item)
		}
		if len(v.Items()) == 0 {
			v.Fail("", outputsExpected)
		}
	case source.Scalar:
		o.add(v)
	default:
		v.Fail("", outputsExpected)
		return
	}
	if len(o.Numbers()) > OutputLimit {
		v.Report(report.Errorf("out-of-range", o.Where, "%s names more outputs than any module has", v.What()).
			Expect("%s", outputsExpected).Do("name each output once"))
	}
}

func (o *Outputs) add(v source.Value) {
	if v.Kind() != source.Scalar {
		v.Fail("", outputsExpected)
		return
	}
	for _, text := range strings.Split(v.Text(), ",") {
		if strings.TrimSpace(text) == noOutput {
			o.Runs = append(o.Runs, Run{Where: v.Place()})
			continue
		}
		run, problem := parseRun(text, OutputLimit)
		if problem != "" {
			v.Fail(problem, outputsExpected)
			return
		}
		run.Where = v.Place()
		o.Runs = append(o.Runs, run)
	}
}

// Input is where a road signal or a show switch comes in.
type Input struct {
	source.At
	// The pins that the wire goes to, one or several.
	Wire source.OneOrMany[Pin] `yaml:"wire,omitempty" least:"1" most:"64"`
	// The input on whose wire this one comes as well, as stop does where it is the full light of a dimmed tail wire. The tail then comes with the stop.
	Shares source.Name `yaml:"shares,omitempty"`
	// For a turn wire that lights for the brake as well, as behind a two-wire socket.
	CarriesStop *CarriesStop `yaml:"carries-stop,omitempty"`
	// True when all its pins hang on one tap of the car's wire, so that one bad joint takes it from every module.
	OneTap bool `yaml:"one-tap,omitempty"`
	// The level at which it counts as on. It is high unless given.
	Active source.Of[Active] `yaml:"active,omitempty"`
	// What the factory wire does. Unless given, it is steady, or a flasher on a turn input, or a relay on a show switch.
	Feed *Feed `yaml:"feed,omitempty"`
}

// CarriesStop says that a turn wire lights for the brake as well.
type CarriesStop struct {
	source.At
	// The input on whose wire nothing but the brake comes, as that of the high stop lamp. With it the module tells turn from brake.
	Reference source.Name `yaml:"reference,omitempty"`
}

// Active is the level at which an input counts as on.
type Active string

// Levels.
const (
	High Active = "high" // on when the wire is at supply voltage
	Low  Active = "low"  // on when the wire is at ground
)

// Words lists the levels.
func (Active) Words() []string { return []string{string(High), string(Low)} }

// Pin is a pin of a module, written module.pin.
type Pin struct {
	Module, Pin string
	Where       report.Place
}

// String gives the pin in the document's form.
func (p Pin) String() string { return p.Module + "." + p.Pin }

// DecodeSource reads a pin.
func (p *Pin) DecodeSource(v source.Value) {
	const expected = "a module and one of its pins, as in rear-lh.in2"
	if v.Kind() != source.Scalar {
		v.Fail("", expected)
		return
	}
	module, pin, found := strings.Cut(v.Text(), ".")
	switch number, _ := ordinal(pin, InputLimit); {
	case number > 0 && source.NameProblem(module) == "":
		d := report.Errorf("bad-value", v.Place(), "%s cannot be %q: a pin is in1, in2 and so on", v.What(), v.Text()).
			Expect("%s", expected).Do("write the pin's name")
		d.Suggestion = fmt.Sprintf("%s.in%d", module, number)
		v.Report(d)
	case !found:
		v.Fail("it names no pin", expected)
	case source.NameProblem(module) != "":
		v.Fail("the module's name cannot be one: "+source.NameProblem(module), expected)
	case source.NameProblem(pin) != "":
		v.Fail("the pin's name cannot be one: "+source.NameProblem(pin), expected)
	default:
		*p = Pin{Module: module, Pin: pin, Where: v.Place()}
	}
}
