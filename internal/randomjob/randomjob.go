// Package randomjob draws random jobs and scripts of presses for tests: documents as a builder could have written them, of every lamp
// pattern, stroke, board, signal and word of the car, but with no care for beauty or law.
package randomjob

import (
	"fmt"
	"slices"
	"strings"

	"pgregory.net/rapid"
)

// Job draws a job document. Every draw is a valid document; a module may still be refused for its limits.
func Job(t *rapid.T) string { return job(t, false) }

// Pair draws a job of two modules on one link wire, with a linked show across both.
func Pair(t *rapid.T) string { return job(t, true) }

// draft is a job in the making.
type draft struct {
	lamps  []lamp
	pair   bool
	hands  bool   // both lamps share one image
	only   string // the input that alone feeds the one module, or ""
	roads  []string
	inputs []input // roads, switches of shows, and what bars them

	routines, signals, shows strings.Builder
}

func job(t *rapid.T, pair bool) string {
	d := &draft{pair: pair}
	var b strings.Builder
	fmt.Fprintf(&b, "lampwright: 1\njob: {title: random %d, use: show-only}\nlamps:\n", rapid.IntRange(0, 9999).Draw(t, "title"))
	n := rapid.IntRange(1, 2).Draw(t, "lamps")
	if pair {
		n = 2
	}
	for i := range n {
		d.lamps = append(d.lamps, drawLamp(t, &b, i, d.lamps))
	}
	d.hands = n == 2 && d.lamps[1].opposite && d.lamps[0].board != "pins" && rapid.Bool().Draw(t, "one image")
	if d.hands {
		d.lamps[1].board = d.lamps[0].board
	}
	for i := range d.lamps {
		drawOutputs(t, &d.lamps[i])
	}
	d.drawInputs(t)
	for i := range d.lamps {
		drawFigures(t, &d.routines, &d.lamps[i])
	}
	d.drawSignals(t)
	d.drawShows(t)

	d.writeModules(t, &b)
	writeGuard(t, &b)
	b.WriteString("inputs:\n")
	for _, in := range d.inputs {
		b.WriteString("  " + in.name + ": {" + strings.Join(in.keys, ", ") + "}\n")
	}
	d.writeOutages(t, &b)
	b.WriteString("routines:\n" + d.routines.String() + "signals:\n" + d.signals.String())
	if d.shows.Len() > 0 {
		b.WriteString("shows:\n" + d.shows.String())
	}
	return b.String()
}

// drawSignals writes a signal of every road on every lamp. The hands of one image light the same outputs for the same function: they
// take the same zones, and groups of one function may be soldered in another order.
func (d *draft) drawSignals(t *rapid.T) {
	functions := make([]string, len(d.lamps[0].outputs)) // of the first hand's groups, in layout order
	zonesOf := map[string][]string{}
	for i, l := range d.lamps {
		for _, road := range d.roads {
			zones, groups := drawRegions(t, l)
			own := road
			if d.hands && i == 1 {
				own = otherSide(road)
				zones = zonesOf[own]
			} else {
				zonesOf[road] = zones
				groups = slices.Clone(groups)
				slices.SortFunc(groups, func(a, b group) int { return a.at - b.at })
				for _, g := range slices.Compact(groups) {
					if i == 0 {
						functions[g.at] += " " + road
					}
				}
			}
			drawSignal(t, &d.routines, &d.signals, i, l, road, zones)
		}
	}
	if d.hands {
		d.lamps[1].outputs = reordered(t, d.lamps[0].outputs, functions)
		d.lamps[1].spare = d.lamps[0].spare
	}
}

// reordered changes the order of outputs among groups of equal functions.
func reordered(t *rapid.T, outputs []int, functions []string) []int {
	out := slices.Clone(outputs)
	byFunction := map[string][]int{}
	var order []string
	for g, f := range functions {
		if byFunction[f] == nil {
			order = append(order, f)
		}
		byFunction[f] = append(byFunction[f], g)
	}
	for _, f := range order {
		groups := byFunction[f]
		for i, g := range rapid.Permutation(groups).Draw(t, "other hand") {
			out[groups[i]] = outputs[g]
		}
	}
	return out
}

// otherSide gives the road that is to the other hand what this one is to this hand.
func otherSide(road string) string {
	switch road {
	case "turn-lh":
		return "turn-rh"
	case "turn-rh":
		return "turn-lh"
	}
	return road
}

func (d *draft) drawShows(t *rapid.T) {
	var names []string
	for _, in := range d.inputs {
		names = append(names, in.name)
	}
	for i, l := range d.lamps {
		for _, in := range []string{"show-a", "show-b"} {
			if !d.pair {
				drawShow(t, &d.routines, &d.shows, i, l, in, names)
			}
		}
	}
	if d.pair {
		length := rapid.IntRange(250, 450).Draw(t, "ticks") * 4
		fmt.Fprintf(&d.routines, "  across: {length: %d ms, across: [%s, %s], strokes: [{swing: {direction: right, band: 80 mm, edge: 60 mm}}]}\n", length, d.lamps[0].name, d.lamps[1].name)
		keys := append([]string{"input: show-a", "stay: across"}, drawBars(t, "show-a", names)...)
		fmt.Fprintf(&d.shows, "  - across: {%s}\n", strings.Join(keys, ", "))
	}
}
