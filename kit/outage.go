package kit

import (
	"lampwright/board"
	"lampwright/job"
	"lampwright/report"
	"lampwright/units"
)

// OutageKind is what a car does when a lamp draws too little current.
type OutageKind string

// The kinds of outage.
const (
	Message   OutageKind = "message"    // it tells the driver
	FlashRate OutageKind = "flash-rate" // its flasher hurries
	ShutOff   OutageKind = "shut-off"   // it switches the wire off
)

// Outage is an output that loads a factory wire with a resistor while the car looks for the current of a bulb.
type Outage struct {
	Name      string
	Input     *Input // whose wire the car checks
	Module    *Module
	Output    int // 0-based; no group hangs on it
	Kind      OutageKind
	Threshold units.Current // below it the car finds a dead lamp
	Window    units.Time    // how long after the wire comes on the car looks; 0: as long as it is on
	Load      units.Resistance
	Rating    units.Power // that the load bears; 0: not said
	Sense     *Input      // on while the lamp is whole; while it is off the load stays off. nil: the load does not ask
	At        report.Place
}

// outages resolves the loads for the car's lamp check.
func (b *builder) outages() {
	seen := map[string]report.Place{}
	for _, e := range b.doc.Outages.Entries() {
		v := e.Value
		o := &Outage{
			Name: e.Name.Text, Output: v.On.Number - 1, Kind: OutageKind(v.Kind), Threshold: v.Threshold, Window: v.Window.Value,
			Load: v.Load, Rating: v.Rating.Value, At: e.Name.Where,
		}
		if at, twice := seen[o.Name]; twice {
			b.add(report.Errorf("name-twice", o.At, "%q is the name of another outage", o.Name).See(at, "the other one").Do("rename one of them"))
		}
		seen[o.Name] = o.At
		if o.Module = b.free(v.On); o.Module == nil {
			continue
		}
		if o.Input = b.input(v.Input); o.Input != nil {
			b.loads(o, v)
		}
		if v.Sense.Given() {
			b.sense(o, v)
		}
		b.kit.Outages = append(b.kit.Outages, o)
	}
}

// free finds the module of an output that nothing hangs on; nil when it cannot.
func (b *builder) free(on job.Output) *Module {
	m, ok := b.kit.Module(on.Module)
	if !ok {
		b.unknown("module", on.Module, on.Where, names(b.kit.Modules, (*Module).name), b.doc.Modules.Keys())
		return nil
	}
	if m.Board.Name == "" {
		return nil // its board is unknown, and was reported
	}
	if on.Number > m.Board.Outputs {
		b.add(report.Errorf("outage", on.Where, "output %d is beyond board %s of %q", on.Number, m.Board.Name, m.Name).
			Against(on.String(), report.Count(m.Board.Outputs, "output"), "board data").Do("use one of 1 to %d that is free, or a board with more outputs", m.Board.Outputs))
		return nil
	}
	for g, o := range m.Output {
		if o == on.Number-1 {
			b.add(report.Errorf("outage", on.Where, "output %d of %q carries group %s", on.Number, m.Name, m.Lamp.Groups[g].Name).See(m.WiringAt[g], "its wiring").
				Because("the load would light that group, and the group would load the wire").Do("use an output that no group hangs on"))
			return nil
		}
	}
	for _, other := range b.kit.Outages {
		if other.Module == m && other.Output == on.Number-1 {
			b.add(report.Errorf("outage", on.Where, "output %d of %q switches the load of %q already", on.Number, m.Name, other.Name).See(other.At, "the other one").
				Do("give each load an output of its own"))
			return nil
		}
	}
	return m
}

// loads holds an outage to wires that a load at the module can draw from.
func (b *builder) loads(o *Outage, v job.Outage) {
	refuse := func(at report.Place, why, next string) {
		b.add(report.Errorf("outage", at, "a load at %q cannot draw from the wire of %q", o.Module.Name, o.Input.Name).Because("%s", why).See(o.Input.At, "the input").Do("%s", next))
	}
	switch {
	case o.Input.Shares != nil:
		refuse(v.Input.Where, "it has no wire of its own; it comes on that of "+o.Input.Shares.Name, "name "+o.Input.Shares.Name+", whose wire it is")
	case b.unwired(o.Module, o.Input):
		refuse(v.Input.Where, "it has no wire to that module", "use an output of a module that it is wired to")
	case o.Input.ActiveLow:
		refuse(v.Input.Where, "it is switched to ground, where no current can be drawn", "leave the outage out, and fit a load from the supply to that wire")
	case o.Module.Board.Side == board.HighSide && o.Module.Fed.Only != o.Input:
		refuse(v.On.Where, "its board switches its own supply to the load, so the current comes from the battery feed",
			"use a board whose outputs switch to ground, and let the resistor hang between the wire and the output")
	}
}

// sense resolves the input that tells whether a lamp is whole.
func (b *builder) sense(o *Outage, v job.Outage) {
	in := b.input(v.Sense)
	switch {
	case in == nil:
		return
	case in.Road != "":
		b.add(report.Errorf("outage", v.Sense.Where, "%q is a road signal and does not tell whether a lamp is whole", in.Name).
			Do("name an input that is on while the lamp's light is whole, or leave sense: out"))
	case b.unwired(o.Module, in):
		b.add(report.Errorf("outage", v.Sense.Where, "input %q has no wire to module %q", in.Name, o.Module.Name).
			Because("a module knows only its own wires").See(in.At, "the input").Do("add a pin of %s to its wire:", o.Module.Name))
	}
	o.Sense = in
}
