package rules

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/kit"
	"lampwright/lamp"
	"lampwright/report"
)

const oneFuse = "rule of this program: one blown fuse may not keep a road signal dark on both sides"

// fed judges where the modules' supply comes from.
func fed(k *kit.Kit) (list report.List) {
	var unsaid []string
	var at report.Place
	for _, m := range k.Modules {
		if !m.Fed.Said() {
			if len(unsaid) == 0 {
				at = m.At
			}
			unsaid = append(unsaid, m.Name)
		}
	}
	if len(unsaid) > 0 {
		list.Add(report.Findingf(report.Note, "feed-unsaid", at, "it is not said what feeds %s", words(unsaid)).
			Because("whether one fuse darkens both sides, and what the kit takes from a parked car's battery, cannot be told").
			Against(modules(len(unsaid))+" without fed:", "every module", "common practice, no source").
			Do("write fed: {fuse: F1, also: [stop]} at each, with its fuse and the signal wires that feed it too, or fed: {only: stop}"))
	}
	darkened, told := bothSides(k)
	list.Add(darkened...)
	for _, m := range k.Modules {
		if lost := lostWith(k, m); len(lost) > 0 && !told[m.Fed.Fuse] && k.Use.OnRoad() {
			list.Add(report.Findingf(report.Caution, "feed-one-fuse", m.Fed.At, "module %q lives on fuse %s alone: with it go %s of lamp %q", m.Name, m.Fed.Fuse, words(lost), m.Lamp.Name).
				Because("a signal's own wire would still bring current when the battery feed does not").
				Against("1 feed", "2 feeds for a required function", "common practice, no source").
				Do("feed it through a diode from the wires of these signals too, as in also: [%s]", strings.Join(wiresOf(m, lost), ", ")))
		}
	}
	list.Add(drain(k)...)
	list.Add(deadOnLink(k)...)
	return list
}

// lostWith lists the required functions of a module's lamp that go dark with its fuse: no signal that calls them feeds it as well.
func lostWith(k *kit.Kit, m *kit.Module) (lost []string) {
	if m.Fed.Fuse == "" {
		return nil
	}
	for _, f := range m.Lamp.Functions {
		if f.Required && !fedWhile(k, m, f.Name) {
			lost = append(lost, f.Name)
		}
	}
	return lost
}

// fedWhile tells whether a wire that feeds a module beside its fuse is on whenever a function of its lamp is asked for.
func fedWhile(k *kit.Kit, m *kit.Module, function string) bool {
	for _, road := range calls(function, m.Lamp) {
		if !slices.ContainsFunc(m.Fed.Also, func(in *kit.Input) bool { return highWhile(k, in, road) }) {
			return false
		}
	}
	return true
}

// highWhile tells whether an input's wire is high whenever a road function is asked for.
func highWhile(k *kit.Kit, in *kit.Input, road string) bool {
	if in.Road == road || road == "stop" && in.CarriesStop {
		return true
	}
	return slices.ContainsFunc(k.Inputs, func(other *kit.Input) bool { return other.Road == road && other.Shares == in })
}

// darkness is what one fuse darkens on both sides.
type darkness struct {
	functions []string
	modules   []*kit.Module
}

// bothSides finds fuses that darken a required function on both sides of an end of the car, and names them.
func bothSides(k *kit.Kit) (list report.List, fuses map[string]bool) {
	fuses = map[string]bool{}
	severity := report.StopWork
	if !k.Use.OnRoad() {
		severity = report.Caution
	}
	for _, m := range k.Modules {
		fuse := m.Fed.Fuse
		if fuse == "" || fuses[fuse] {
			continue
		}
		d := darkens(k, fuse)
		if len(d.functions) == 0 {
			continue
		}
		fuses[fuse] = true
		first := d.modules[0]
		found := report.Findingf(severity, "feed-both-sides", first.Fed.At, "fuse %s alone feeds both sides: when it blows, %s go dark on both", fuse, words(d.functions)).
			Because("the drivers behind are then told nothing at all").Against("1 fuse, "+fuse, "a feed of its own for one side at least", oneFuse)
		for _, other := range d.modules[1:] {
			found = found.See(other.Fed.At, "module %q", other.Name)
		}
		list.Add(found.Do("give each side a fuse of its own, and feed each module through diodes from its signals' wires too, as in also: [%s]", strings.Join(wiresOf(first, d.functions), ", ")))
	}
	return list, fuses
}

// darkens finds the required functions of which a fuse leaves no lamp on either side of an end of the car.
func darkens(k *kit.Kit, fuse string) (d darkness) {
	type place struct {
		function string
		end      lamp.End
	}
	type sides struct{ lh, rh, dark []*kit.Module }
	var order []place
	at := map[place]*sides{}
	for _, m := range k.Modules {
		for _, f := range m.Lamp.Functions {
			p := place{f.Name, m.Lamp.Place.End}
			if !f.Required || m.Lamp.Place.Side == lamp.Centre {
				continue
			}
			if at[p] == nil {
				at[p] = &sides{}
				order = append(order, p)
			}
			if m.Lamp.Place.Side == lamp.LH {
				at[p].lh = append(at[p].lh, m)
			} else {
				at[p].rh = append(at[p].rh, m)
			}
			if m.Fed.Fuse == fuse && !fedWhile(k, m, f.Name) {
				at[p].dark = append(at[p].dark, m)
			}
		}
	}
	for _, p := range order {
		s := at[p]
		if len(s.lh) == 0 || len(s.rh) == 0 || len(s.dark) < len(s.lh)+len(s.rh) {
			continue
		}
		if !slices.Contains(d.functions, p.function) {
			d.functions = append(d.functions, p.function)
		}
		for _, m := range s.dark {
			if !slices.Contains(d.modules, m) {
				d.modules = append(d.modules, m)
			}
		}
	}
	return d
}

// wiresOf names the inputs whose wires would feed a module while functions of its lamp are asked for.
func wiresOf(m *kit.Module, functions []string) (wires []string) {
	for _, f := range functions {
		for _, w := range calls(f, m.Lamp) {
			if !slices.Contains(wires, w) {
				wires = append(wires, w)
			}
		}
	}
	return wires
}

// deadOnLink finds modules on the link wire that are dead while others are not.
func deadOnLink(k *kit.Kit) (list report.List) {
	var fed *kit.Module
	for _, m := range k.Modules {
		if m.Link != "" && m.Fed.Fuse != "" {
			fed = m
		}
	}
	for _, m := range k.Modules {
		if m.Link == "" || m.Fed.Only == nil || fed == nil {
			continue
		}
		up := 1e3 * float64(m.Board.Input.Logic.Is) / float64(fed.Board.LinkCircuit.PullUp.Is+fed.Board.LinkCircuit.Series.Is+m.Board.LinkCircuit.Series.Is)
		list.Add(report.Findingf(report.Caution, "link-dead", m.At, "module %q hangs on the link wire, but is dead while %s is off", m.Name, m.Fed.Only.Name).
			Because("a dead module's clamp holds the wire low: the others lose their step, and each of them feeds %.2f mA into it, parked or not", up).
			See(fed.At, "module %q is fed from the battery", fed.Name).
			Against(fmt.Sprintf("%.2f mA a module", up), "no dead module on the link", "calculated: docs/boards, link circuit").
			Do("feed it from the battery too, or write link: none and leave it off the link wire"))
	}
	return list
}

func modules(n int) string {
	if n == 1 {
		return "1 module"
	}
	return fmt.Sprintf("%d modules", n)
}

// words joins names: a, b and c.
func words(all []string) string {
	if len(all) < 2 {
		return strings.Join(all, "")
	}
	return strings.Join(all[:len(all)-1], ", ") + " and " + all[len(all)-1]
}
