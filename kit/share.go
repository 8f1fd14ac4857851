package kit

import (
	"lampwright/feed"
	"lampwright/program"
	"lampwright/report"
)

// shares resolves inputs that come on the wire of another one. In a module such an input takes the highest input number that no wire
// has, there or in the module that shares its image.
func (b *builder) shares() {
	for i, e := range b.doc.Inputs.Entries() {
		name := e.Value.Shares
		if !name.Given() {
			continue
		}
		in := b.kit.Inputs[i]
		carrier, ok := b.kit.Input(name.Text)
		switch {
		case !ok:
			b.unknown("input", name.Text, name.Where, names(b.kit.Inputs, (*Input).name), nil)
			continue
		case in.Road != "stop" || carrier.Road != "tail":
			b.add(report.Errorf("shares", name.Where, "%q cannot share the wire of %q", in.Name, carrier.Name).
				Because("a module tells two functions on one wire apart by the share of time for which it is high: stop as the full light of a dimmed tail wire, nothing else").
				Do("write stop: {shares: tail}, or give the input a wire of its own"))
			continue
		case e.Value.Active.Given():
			b.add(report.Errorf("shares", e.Value.Active.Where, "%q has the active level of the wire that it shares", in.Name).Do("leave active: out"))
		}
		in.Shares, in.ActiveLow = carrier, carrier.ActiveLow
		if !carrier.Feed.Check().HasErrors() && !in.Feed.Check().HasErrors() {
			b.placed(feed.Share(carrier.Feed, in.Feed), name.Where)
		}
		for _, p := range carrier.Pins {
			free := program.MaxInputs - 1
			for free >= 0 && (b.kit.holds(p.Module, free, in) || b.kit.holds(b.kit.OtherHand(p.Module), free, in)) {
				free--
			}
			if free < 0 {
				b.add(report.Errorf("shares", name.Where, "module %q has no input number left for %q", p.Module.Name, in.Name).
					Do("take a wire away from the module"))
				continue
			}
			in.Pins = append(in.Pins, Pin{Module: p.Module, In: free, At: p.At})
		}
	}
}

// holds tells whether an input number of a module is taken by another input than this one. A module that is nil holds none.
func (k *Kit) holds(m *Module, n int, than *Input) bool {
	if m == nil {
		return false
	}
	in := k.on(m, n)
	return in != nil && in != than
}
