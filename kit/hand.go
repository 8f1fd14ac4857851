package kit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampwright/feed"
	"lampwright/job"
	"lampwright/lamp"
	"lampwright/program"
	"lampwright/report"
	"lampwright/source"
)

// straps resolves side straps, live mode and shared images. What two hands of one image must have in common is compared later, by hands.
func (b *builder) straps() {
	for _, e := range b.doc.Modules.Entries() {
		m, ok := b.kit.Module(e.Name.Text)
		if !ok {
			continue
		}
		v := e.Value
		m.Strap, m.Stream = m.Strap || v.Strap, v.Stream
		at := v.SameImageAs.Where
		if v.SameImageAs.Given() {
			b.sameImageAs(m, v.SameImageAs)
		} else if v.Strap {
			at = v.PlaceOf("strap")
		}
		if !at.IsZero() && m.Board.Name != "" && !m.Board.Strap() {
			b.add(report.Errorf("strap", at, "board %s of %q has no pin for a side strap", m.Board.Name, m.Name).
				Because("the module would find its strap missing, and never run more than plain road signals").
				Do("choose a chain board, or delete this"))
		} else if v.Strap && m.Lamp.Place.Side == lamp.Centre {
			b.add(report.Errorf("strap", at, "the lamp %q of %q sits in the centre, and a strap says LH or RH", m.Lamp.Name, m.Name).
				Because("the module would find the strap wrong, and never run more than plain road signals").Do("delete strap:"))
		}
	}
}

// sameImageAs pairs a module with the one whose image it shares.
func (b *builder) sameImageAs(m *Module, n source.Name) {
	refuse := func(other *Module, why, next string) {
		b.add(report.Errorf("same-image", n.Where, "%q cannot share the image of %q", m.Name, n.Text).Because("%s", why).See(other.At, "the other module").Do("%s", next))
	}
	other, ok := b.kit.Module(n.Text)
	if !ok {
		b.unknown("module", n.Text, n.Where, names(b.kit.Modules, (*Module).name), b.doc.Modules.Keys())
		return
	}
	written, _ := b.doc.Modules.Get(n.Text)
	switch {
	case other == m:
		b.add(report.Errorf("same-image", n.Where, "%q names itself", m.Name).Do("name the module of the other hand"))
		return
	case written.SameImageAs.Given():
		refuse(other, "that one has none of its own: it shares the image of "+written.SameImageAs.Text, "write same-image-as at one of the two hands only")
		return
	}
	for _, third := range b.kit.Modules {
		if third.SameImageAs == other {
			refuse(third, fmt.Sprintf("%q shares it already, and an image has two hands", third.Name), "give this module an image of its own")
			return
		}
	}
	m.SameImageAs, m.Strap, other.Strap = other, true, true
}

// OtherHand gives the module that shares a module's image, or nil.
func (k *Kit) OtherHand(m *Module) *Module {
	if m.SameImageAs != nil {
		return m.SameImageAs
	}
	for _, other := range k.Modules {
		if other.SameImageAs == m {
			return other
		}
	}
	return nil
}

// hands compares the two modules of each shared image: they have one safe block, so what it says must hold for both.
func (b *builder) hands() {
	if b.list.HasErrors() {
		return
	}
	for _, e := range b.doc.Modules.Entries() {
		if m, ok := b.kit.Module(e.Name.Text); ok && m.SameImageAs != nil {
			b.pair(m, m.SameImageAs, e.Value.SameImageAs.Where)
		}
	}
}

// pair compares two hands. What differs is told in one message: it is one mistake.
func (b *builder) pair(m, other *Module, at report.Place) {
	refuse := func(next string, what ...string) {
		b.add(report.Errorf("same-image", at, "%q cannot share the image of %q: %s", m.Name, other.Name, strings.Join(what, "; ")).
			Because("both modules hold the same image and the same safe block, and only the strap tells them apart").
			See(other.At, "the other module").Do("%s, or give each module an image of its own", next))
	}
	if m.Board.Name != other.Board.Name {
		refuse("give both the same board", fmt.Sprintf("their boards are %s and %s", m.Board.Name, other.Board.Name))
		return
	}
	if one, two := m.Lamp.Place.Side, other.Lamp.Place.Side; one == lamp.Centre || one == two || two == lamp.Centre {
		refuse("share an image between an LH and an RH lamp only", fmt.Sprintf("their lamps sit at %s and %s", one, two))
		return
	}
	if m.TurnFed() != other.TurnFed() {
		refuse("feed both alike", "one is fed by its turn wire alone, the other is not")
	}
	var pins, outputs []string
	for n := range program.MaxInputs {
		if what := b.kit.pinsDiffer(m, other, n); what != "" {
			pins = append(pins, what)
		}
	}
	if len(pins) > 0 {
		refuse("wire the two alike, each module's own turn to the same pin, and describe both wires by the feed of the worse one", pins...)
		return // what their signals light follows from their inputs
	}
	for _, f := range []struct{ what, road, opposite, function string }{
		{"stop", "stop", "stop", "stop"}, {"tail", "tail", "tail", "tail"},
		{"the turn", ownTurn(m), ownTurn(other), "turn"}, {"the other side's turn", ownTurn(other), ownTurn(m), ""},
	} {
		one, two := b.kit.lit(m, f.road, f.function), b.kit.lit(other, f.opposite, f.function)
		if !slices.Equal(one, two) {
			outputs = append(outputs, fmt.Sprintf("%s lights outputs %s in %q, but %s in %q", f.what, numbers(one), m.Name, numbers(two), other.Name))
		}
	}
	if len(outputs) > 0 {
		refuse("solder both hands so that each function hangs on the same outputs, in any order", outputs...)
	}
}

// pinsDiffer tells how what comes in on one input number of two hands differs; "" when it is the same input, or the turn of the own
// side, read alike.
func (k *Kit) pinsDiffer(m, other *Module, n int) string {
	one, two := k.on(m, n), k.on(other, n)
	name := "in" + strconv.Itoa(n+1)
	called := func(in *Input) string {
		if in == nil {
			return "nothing"
		}
		return in.Name
	}
	if called(one) != otherSide(called(two)) {
		return fmt.Sprintf("%s carries %s in %q, and %s in %q", name, called(one), m.Name, called(two), other.Name)
	}
	if one == two {
		return ""
	}
	f, _, _ := feed.FilterFor(one.Feed, one.Road)
	g, _, _ := feed.FilterFor(two.Feed, two.Road)
	switch {
	case one.ActiveLow != two.ActiveLow:
		return fmt.Sprintf("%s is active high for one of %s and %s, and low for the other", name, one.Name, two.Name)
	case one.CarriesStop != two.CarriesStop || (one.Reference == nil) != (two.Reference == nil):
		return fmt.Sprintf("%s carries the stop for one of %s and %s, and not for the other", name, one.Name, two.Name)
	case f != g:
		return fmt.Sprintf("%s needs a filter of %s for %s, and of %s for %s", name, f, one.Name, g, two.Name)
	}
	return ""
}

// on gives the input that has a number of a module, as its wire's pin or shared; nil when none has.
func (k *Kit) on(m *Module, n int) *Input {
	for _, in := range k.Inputs {
		if m.InputPins(in)&(1<<n) != 0 {
			return in
		}
	}
	return nil
}

// lit gives the outputs that a road input lights without an image, ascending, from 1: those of the groups that its signals take,
// and those of the lamp's required function.
func (k *Kit) lit(m *Module, road, function string) (outputs []int) {
	var groups []int
	for _, l := range k.Layers {
		if !l.Show && l.Input.Road == road {
			groups = append(groups, l.Of(m.Lamp)...)
		}
	}
	for _, f := range m.Lamp.Functions {
		if f.Name == function && f.Required {
			groups = append(groups, f.Groups...)
		}
	}
	for _, g := range groups {
		if o := m.Output[g]; o >= 0 {
			outputs = append(outputs, o+1)
		}
	}
	slices.Sort(outputs)
	return slices.Compact(outputs)
}

func ownTurn(m *Module) string {
	if m.Lamp.Place.Side == lamp.RH {
		return "turn-rh"
	}
	return "turn-lh"
}

// otherSide gives the input that is to the other hand what this one is to this hand.
func otherSide(name string) string {
	switch name {
	case "turn-lh":
		return "turn-rh"
	case "turn-rh":
		return "turn-lh"
	}
	return name
}

// numbers writes outputs as the document has them.
func numbers(all []int) string {
	if len(all) == 0 {
		return "none"
	}
	return job.OutputsOf(all).String()
}
