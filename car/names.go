package car

import (
	"fmt"
	"slices"

	"lampwright/kit"
	"lampwright/script"
)

// TapName names an input of a module as conditions do: rear-lh.in2. in is 0-based.
func TapName(m *kit.Module, in int) string { return fmt.Sprintf("%s.in%d", m.Name, in+1) }

// OutputName names an output of a module as conditions do: rear-lh.13. output is 0-based.
func OutputName(m *kit.Module, output int) string { return fmt.Sprintf("%s.%d", m.Name, output+1) }

// FeedName names a wire's feed into a module's supply as conditions do: rear-lh.stop.
func FeedName(m *kit.Module, in *kit.Input) string { return m.Name + "." + in.Name }

// Names lists what scripts of a kit can speak of.
func Names(k *kit.Kit) script.Names {
	n := script.Names{Where: map[script.What][]string{}}
	add := func(what script.What, name string) {
		if !slices.Contains(n.Where[what], name) {
			n.Where[what] = append(n.Where[what], name)
		}
	}
	for _, what := range []script.What{script.Heat, script.Battery, script.Feed, script.Tap, script.Output, script.Link, script.Strap, script.Module} {
		n.Where[what] = []string{}
	}
	for _, in := range k.Inputs {
		n.Inputs = append(n.Inputs, in.Name)
		for _, p := range in.Pins {
			if in.Shares == nil {
				add(script.Tap, TapName(p.Module, p.In))
			}
		}
	}
	for _, m := range k.Modules {
		add(script.Module, m.Name)
		if m.Board.Heat.Fitted() {
			add(script.Heat, m.Name)
		}
		if m.Fed.Only == nil {
			add(script.Battery, m.Name)
		}
		for _, in := range feeders(m) {
			add(script.Feed, FeedName(m, in))
		}
		for _, o := range m.Output {
			if o >= 0 {
				add(script.Output, OutputName(m, o))
			}
		}
		if m.Link != "" {
			add(script.Link, m.Name)
		}
		if m.Strap {
			add(script.Strap, m.Name)
		}
	}
	for _, m := range k.Modules {
		if m.Fed.Fuse != "" {
			add(script.Battery, m.Fed.Fuse)
		}
	}
	return n
}
