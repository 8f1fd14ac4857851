package proof

import (
	"fmt"
	"strings"

	"lampwright/car"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
	"lampwright/script"
)

// Fault is one thing that breaks: all that a script needs to play it, and what it is in words.
type Fault struct {
	Condition script.Condition // holds always; the zero value is no fault
	What      string           // "tap of stop at rear-lh.in2 open"
	Part      string           // "tap of stop at rear-lh.in2"; "" when What is not parted
	State     string           // "open"
	At        report.Place     // of what breaks, in the job

	modules []*kit.Module // that it reaches
	inputs  []*kit.Input  // whose wire it reaches there, of a tap
}

// None tells whether this is the car as it should be.
func (f Fault) None() bool { return f.Condition == script.Condition{} }

// Faults gives every single fault of a kit, in a fixed order: batteries, feeds, taps, outputs, link, modules, straps.
func Faults(k *kit.Kit) []Fault {
	var all []Fault
	all = append(all, batteryFaults(k)...)
	for _, m := range k.Modules {
		part := "diode"
		if m.Fed.Only != nil {
			part = "wire to the supply"
		}
		for _, in := range feeders(m) {
			all = append(all, Fault{
				Condition: script.Condition{What: script.Feed, Where: car.FeedName(m, in), Is: script.Open},
				What:      fmt.Sprintf("%s does not feed %s: its %s is open", in.Name, m.Name, part), At: m.Fed.At, modules: []*kit.Module{m},
			})
		}
	}
	for _, in := range k.Inputs {
		all = append(all, tapFaults(k, in)...)
	}
	for _, m := range k.Modules {
		for g, o := range m.Output {
			if o < 0 {
				continue
			}
			for _, is := range []string{script.Open, script.On} {
				all = append(all, Fault{
					Condition: script.Condition{What: script.Output, Where: car.OutputName(m, o), Is: is},
					Part:      fmt.Sprintf("output %d of %s, group %s of %s,", o+1, m.Name, m.Lamp.Groups[g].Name, m.Lamp.Name), State: outputIs[is],
					At: m.WiringAt[g], modules: []*kit.Module{m},
				})
			}
		}
	}
	all = append(all, linkFaults(k)...)
	for _, m := range k.Modules {
		all = append(all, Fault{
			Condition: script.Condition{What: script.Module, Where: m.Name, Is: script.Dead},
			What:      fmt.Sprintf("module %s dead or unplugged", m.Name), At: m.At, modules: []*kit.Module{m},
		})
	}
	for _, m := range k.Modules {
		if m.Strap {
			all = append(all, strapFaults(m)...)
		}
	}
	for i := range all {
		if f := &all[i]; f.Part != "" {
			f.What = f.Part + " " + f.State
		}
	}
	return all
}

var outputIs = map[string]string{script.Open: "open", script.On: "stuck on"}

// feeders gives the wires that feed a module.
func feeders(m *kit.Module) []*kit.Input {
	if m.Fed.Only != nil {
		return []*kit.Input{m.Fed.Only}
	}
	return m.Fed.Also
}

// batteryFaults loses the battery at all modules of a fuse, and at each module alone.
func batteryFaults(k *kit.Kit) []Fault {
	var all []Fault
	gone := func(where, what string, at report.Place, modules []*kit.Module) {
		all = append(all, Fault{Condition: script.Condition{What: script.Battery, Where: where, Is: script.Gone}, What: what, At: at, modules: modules})
	}
	done := map[string]bool{}
	for _, m := range k.Modules {
		fuse := m.Fed.Fuse
		switch {
		case m.Fed.Only != nil || done[fuse] && fuse != "":
			continue
		case fuse == "":
			gone(m.Name, fmt.Sprintf("no battery at %s", m.Name), m.At, []*kit.Module{m})
			continue
		}
		done[fuse] = true
		var on []*kit.Module
		var names []string
		for _, other := range k.Modules {
			if other.Fed.Fuse == fuse {
				on, names = append(on, other), append(names, other.Name)
			}
		}
		gone(fuse, fmt.Sprintf("fuse %s blown: no battery at %s", fuse, strings.Join(names, ", ")), m.Fed.At, on)
		if len(on) > 1 {
			for _, other := range on {
				gone(other.Name, fmt.Sprintf("no battery at %s: its wire is open", other.Name), other.Fed.At, []*kit.Module{other})
			}
		}
	}
	return all
}

var tapIs = []struct{ is, words string }{{script.Open, "open"}, {script.AtGround, "shorted to ground"}, {script.AtSupply, "shorted to the supply"}}

// tapFaults breaks the taps of an input: each pin alone or, on one tap, all together.
func tapFaults(k *kit.Kit, in *kit.Input) []Fault {
	if in.Shares != nil {
		return nil // it has no wire of its own
	}
	reached := []*kit.Input{in}
	reference := false
	for _, other := range k.Inputs {
		switch {
		case other.Shares == in:
			reached = append(reached, other)
		case other.Reference == in:
			reached, reference = append(reached, other), true
		}
	}
	var all []Fault
	for _, p := range in.Pins {
		modules, where := []*kit.Module{p.Module}, car.TapName(p.Module, p.In)
		if in.OneTap {
			modules = nil
			var names []string
			for _, each := range in.Pins {
				modules, names = append(modules, each.Module), append(names, car.TapName(each.Module, each.In))
			}
			where = strings.Join(names, ", ")
		}
		name := in.Name
		if reference {
			name += " (the reference of the stop)"
		}
		for _, t := range tapIs {
			all = append(all, Fault{
				Condition: script.Condition{What: script.Tap, Where: car.TapName(p.Module, p.In), Is: t.is},
				Part:      fmt.Sprintf("tap of %s at %s", name, where), State: t.words, At: p.At, modules: modules, inputs: reached,
			})
		}
		if in.OneTap {
			break
		}
	}
	return all
}

// linkFaults breaks the link wire.
func linkFaults(k *kit.Kit) []Fault {
	var all []Fault
	at := report.Place{}
	for _, m := range k.Modules {
		if m.Link == "" {
			continue
		}
		if at.IsZero() {
			at = m.At
		}
		all = append(all, Fault{Condition: script.Condition{What: script.Link, Where: m.Name, Is: script.Open},
			What: fmt.Sprintf("link wire open at %s", m.Name), At: m.At})
	}
	if len(all) == 0 {
		return nil
	}
	return append(all,
		Fault{Condition: script.Condition{What: script.Link, Is: script.Low}, What: "link wire shorted to ground", At: at},
		Fault{Condition: script.Condition{What: script.Link, Is: script.AtSupply}, What: "link wire shorted to the supply", At: at})
}

// strapFaults plugs a module into a plug without its strap, and into one with that of the other side.
func strapFaults(m *kit.Module) []Fault {
	wrong := script.LH
	if car.StrapOf(m) == program.LH {
		wrong = script.RH
	}
	fault := func(is, what string) Fault {
		return Fault{Condition: script.Condition{What: script.Strap, Where: m.Name, Is: is}, What: fmt.Sprintf("side strap of %s %s", m.Name, what), At: m.At, modules: []*kit.Module{m}}
	}
	return []Fault{fault(script.Missing, "missing"), fault(wrong, "says "+wrong)}
}
