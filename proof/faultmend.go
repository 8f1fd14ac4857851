package proof

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/kit"
	"lampwright/script"
)

// mend tells what to do about a breach.
func (f Fault) mend(b Breach, all []*served) string {
	var wires, modules []string
	for _, in := range wiresOf(b, all) {
		wires = append(wires, in.Name)
	}
	for _, m := range f.modules {
		modules = append(modules, m.Name)
	}
	switch {
	case b.Rule == ShownAlone:
		return fmt.Sprintf("let the signal on %s light its groups wholly, sooner, and before others", strings.Join(wires, ", "))
	case b.Rule == OthersStay:
		return "report this with the job: the modules should not do so"
	case f.Condition.What == script.Battery || f.Condition.What == script.Feed:
		if more := f.feedMore(b, all); len(more) > 0 {
			return fmt.Sprintf("give the sides fuses of their own, or let the wires feed the modules too, each through its diode: also: [%s] under fed: of %s",
				strings.Join(more, ", "), strings.Join(modules, ", "))
		}
		return "give the sides fuses of their own under fed:"
	case f.Condition.What == script.Tap && f.inputs[0].OneTap:
		return fmt.Sprintf("tap the car's wire once for each side, and delete one-tap: of %s", f.inputs[0].Name)
	case f.Condition.What == script.Tap:
		return fmt.Sprintf("put signal %s before the one on %s, or let them take groups of their own", b.Function, f.inputs[0].Name)
	case f.Condition.What == script.Strap:
		return "report this with the job: without its strap a module should show plain signals"
	}
	return fmt.Sprintf("let another module show %s as well", b.Function)
}

// wiresOf gives the inputs that ask for the function of a breach at its lamps.
func wiresOf(b Breach, all []*served) []*kit.Input {
	var out []*kit.Input
	for _, v := range all {
		if v.function == b.Function && slices.Contains(b.Lamps, v.lamp.Name) && !slices.Contains(out, v.asks) {
			out = append(out, v.asks)
		}
	}
	return out
}

// feedMore gives the wires of a function that could feed a module and do not.
func (f Fault) feedMore(b Breach, all []*served) []string {
	var out []string
	for _, in := range wiresOf(b, all) {
		if in.ActiveLow {
			continue
		}
		for _, m := range f.modules {
			if m.Fed.Only == nil && !slices.Contains(m.Fed.Also, in) && m.InputPins(in) != 0 && !slices.Contains(out, in.Name) {
				out = append(out, in.Name)
			}
		}
	}
	return out
}
