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

// unfed finds signals and shows of a module that lives on one wire alone and is dead while only theirs is on.
func (b *builder) unfed() {
	for _, m := range b.kit.Modules {
		only := m.Fed.Only
		if only == nil {
			continue
		}
		var signals, shows, wires []string
		for _, l := range b.kit.Layers {
			switch {
			case l.Of(m.Lamp) == nil || l.Input == nil || l.Input == only || l.Input.Shares == only:
			case l.Input.Road == "stop" && only.CarriesStop: // the brake is on that wire too
			case l.Show:
				shows = append(shows, l.Name)
			default:
				signals, wires = append(signals, l.Name), append(wires, l.Input.Name)
			}
		}
		if len(signals) > 0 {
			b.add(report.Errorf("fed", m.Fed.At, "module %q is dead, and its signals dark (%s), while %s is off", m.Name, listed(signals), only.Name).
				Because("it is fed by that wire alone").
				Do("feed it from the battery and from its signals' wires, as in fed: {fuse: F1, also: [%s, %s]}, or take its lamp from these signals", only.Name, listed(wires)))
		}
		if len(shows) > 0 {
			b.add(report.Cautionf("fed", m.Fed.At, "module %q runs its shows (%s) only while %s is on", m.Name, listed(shows), only.Name).
				Because("it is fed by that wire alone").Do("give it a battery feed, as in fed: {fuse: F1}, or take its lamp from these shows"))
		}
	}
}
