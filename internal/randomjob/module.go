package randomjob

import (
	"fmt"
	"slices"
	"strings"

	"pgregory.net/rapid"
)

// writeModules writes the modules with what feeds them and what their plugs say.
func (d *draft) writeModules(t *rapid.T, b *strings.Builder) {
	b.WriteString("modules:\n")
	for i, l := range d.lamps {
		keys := []string{"board: " + l.board, "lamp: " + l.name}
		if d.pair {
			keys = append(keys, []string{"link: leader", "link: follower"}[i])
		}
		switch {
		case d.only != "":
			keys = append(keys, "fed: {only: "+d.only+"}")
		case rapid.Bool().Draw(t, "fed"):
			keys = append(keys, "fed: {"+strings.Join(d.drawFed(t, i), ", ")+"}")
		}
		switch {
		case d.hands && i == 1:
			keys = append(keys, "same-image-as: m0")
		case l.board != "pins" && rapid.IntRange(0, 2).Draw(t, "strap") == 0:
			keys = append(keys, "strap: true")
		}
		if rapid.IntRange(0, 2).Draw(t, "stream") == 0 {
			keys = append(keys, "stream: true")
		}
		fmt.Fprintf(b, "  m%d: {%s, wiring: {%s}}\n", i, strings.Join(keys, ", "), l.wiring())
	}
}

// drawFed draws a fuse, and wires that feed a module as well.
func (d *draft) drawFed(t *rapid.T, module int) []string {
	fed := []string{fmt.Sprintf("fuse: F%d", rapid.IntRange(1, 2+module).Draw(t, "fuse"))}
	var also []string
	for _, in := range d.inputs {
		if slices.Contains(d.roads, in.name) && !in.low && !in.shared && rapid.Bool().Draw(t, "also") {
			also = append(also, in.name)
		}
	}
	if len(also) > 0 {
		fed = append(fed, "also: ["+strings.Join(also, ", ")+"]")
	}
	return fed
}

// writeGuard writes what every module does when supply or heat leave their bounds, or nothing.
func writeGuard(t *rapid.T, b *strings.Builder) {
	if rapid.IntRange(0, 2).Draw(t, "guard") == 0 {
		return
	}
	keys := []string{"sleep-after: " + fmt.Sprint(rapid.IntRange(1, 65).Draw(t, "sleep")) + " s"}
	for _, k := range []struct {
		key      string
		from, to int // tenths of the unit
		unit     string
	}{
		{"shows-above", 80, 130, "V"}, {"halve-above", 175, 240, "V"}, {"shows-off-at", 400, 850, "°C"}, {"halve-at", 900, 1250, "°C"},
	} {
		if rapid.Bool().Draw(t, k.key) {
			keys = append(keys, fmt.Sprintf("%s: %g %s", k.key, float64(rapid.IntRange(k.from, k.to).Draw(t, k.key))/10, k.unit))
		}
	}
	fmt.Fprintf(b, "guard: {%s}\n", strings.Join(keys[rapid.IntRange(0, min(1, len(keys)-1)).Draw(t, "never sleeps"):], ", "))
}

// writeOutages writes loads on spare outputs, or none.
func (d *draft) writeOutages(t *rapid.T, b *strings.Builder) {
	var list []string
	for m, l := range d.lamps {
		if strings.HasPrefix(l.board, "chain-high") {
			continue // nothing to draw from: its outputs switch to the supply
		}
		spare := l.spare
		for _, in := range d.inputs {
			if len(spare) == 0 || in.low || in.shared || !slices.Contains(d.roads, in.name) || rapid.IntRange(0, 3).Draw(t, "outage") > 0 {
				continue
			}
			keys := []string{
				"input: " + in.name, fmt.Sprintf("on: m%d.%d", m, spare[0]), "kind: " + rapid.SampledFrom([]string{"message", "flash-rate", "shut-off"}).Draw(t, "kind"),
				fmt.Sprintf("threshold: %d mA", rapid.IntRange(20, 200).Draw(t, "threshold")), fmt.Sprintf("load: %d ohm", rapid.IntRange(20, 400).Draw(t, "load")),
			}
			if in.name != d.only && rapid.Bool().Draw(t, "looks for a while") {
				keys = append(keys, fmt.Sprintf("window: %d ms", rapid.IntRange(1, 700).Draw(t, "looks")))
			}
			if rapid.IntRange(0, 2).Draw(t, "sensed") == 0 {
				keys = append(keys, "sense: show-b")
			}
			list = append(list, fmt.Sprintf("  - look-%d-%s: {%s}\n", m, in.name, strings.Join(keys, ", ")))
			spare = spare[1:]
		}
	}
	if len(list) > 0 {
		b.WriteString("outages:\n" + strings.Join(list, ""))
	}
}
