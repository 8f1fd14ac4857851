package kit

import (
	"slices"
	"strings"

	"lampwright/report"
	"lampwright/source"
)

// Fed is where a module's supply comes from: the battery through a fuse, or one signal wire alone.
type Fed struct {
	Fuse string   // name of the fuse; "": no battery feed
	Also []*Input // wires that feed it beside the battery, through diodes
	Only *Input   // the wire that alone feeds it; nil: none
	At   report.Place
}

// Said tells whether the job says how the module is fed.
func (f Fed) Said() bool { return f.Fuse != "" || f.Only != nil }

// TurnFed tells whether the module lives on a turn wire alone, so that it powers up with every flash.
func (m *Module) TurnFed() bool {
	return m.Fed.Only != nil && strings.HasPrefix(m.Fed.Only.Road, "turn-")
}

// fed resolves what feeds each module.
func (b *builder) fed() {
	for _, e := range b.doc.Modules.Entries() {
		m, ok := b.kit.Module(e.Name.Text)
		v := e.Value.Fed
		if !ok || v == nil {
			continue
		}
		m.Fed = Fed{Fuse: v.Fuse.Text, At: v.Where}
		for _, other := range b.kit.Modules {
			if one, two := m.Fed.Fuse, other.Fed.Fuse; one != two && strings.EqualFold(one, two) {
				b.add(report.Errorf("fed", v.Fuse.Where, "fuse %s is called %s at module %q", one, two, other.Name).See(other.Fed.At, "the other one").
					Because("whether two modules hang on one fuse decides what one blown fuse darkens").Do("write the fuse's name alike everywhere, or give two fuses names that differ by more than capitals"))
				break
			}
		}
		for _, n := range v.Also.Items {
			in := b.feeds(m, n)
			if slices.Contains(m.Fed.Also, in) {
				b.add(report.Errorf("name-twice", n.Where, "%q is named twice as a feed of module %q", n.Text, m.Name).Do("name each wire once"))
			} else if in != nil {
				m.Fed.Also = append(m.Fed.Also, in)
			}
		}
		if v.Only.Given() {
			m.Fed.Only = b.feeds(m, v.Only)
		}
	}
}

// feeds resolves an input whose wire feeds a module; nil when it cannot.
func (b *builder) feeds(m *Module, n source.Name) *Input {
	in := b.input(n)
	if in == nil {
		return nil
	}
	refuse := func(why, next string) *Input {
		b.add(report.Errorf("fed", n.Where, "the wire of %q cannot feed module %q", in.Name, m.Name).Because("%s", why).See(in.At, "the input").Do("%s", next))
		return nil
	}
	switch {
	case in.Shares != nil:
		return refuse("it has no wire of its own; it comes on that of "+in.Shares.Name, "name "+in.Shares.Name+", whose wire it is")
	case b.unwired(m, in):
		return refuse("it has no wire to that module", "add a pin of "+m.Name+" to its wire:, or name another input")
	case in.ActiveLow:
		return refuse("it is switched to ground, and a feed is a wire at supply voltage", "name an input whose wire is high when it is on")
	}
	return in
}

// unfed finds signals of a module that lives on one wire alone and is dead while only theirs is on.
func (b *builder) unfed() {
	for _, l := range b.kit.Layers {
		for _, t := range l.Takes {
			m, ok := b.kit.ModuleOf(t.Lamp)
			if !ok || m.Fed.Only == nil || m.Fed.Only == l.Input || l.Input == nil || l.Input.Shares == m.Fed.Only {
				continue
			}
			if l.Input.Road == "stop" && m.Fed.Only.CarriesStop {
				continue // the brake is on that wire too
			}
			if l.Show {
				b.add(report.Cautionf("fed", l.At, "show %q runs on module %q only while %q is on", l.Name, m.Name, m.Fed.Only.Name).
					Because("the module is fed by that wire alone").See(m.Fed.At, "its feed").
					Do("give the module a battery feed, as in fed: {fuse: f1}, or take the show from its lamp"))
				continue
			}
			b.add(report.Errorf("fed", l.At, "signal %q stays dark on module %q unless %q is on as well", l.Name, m.Name, m.Fed.Only.Name).
				Because("the module is fed by that wire alone").See(m.Fed.At, "its feed").
				Do("feed it from the battery and from the signals' wires, as in fed: {fuse: f1, also: [%s]}", m.Fed.Only.Name+", "+l.Input.Name))
		}
	}
}
