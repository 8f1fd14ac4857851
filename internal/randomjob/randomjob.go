// Package randomjob draws random jobs and scripts of presses for tests: documents as a builder could have written them, of every lamp
// pattern, stroke, board and signal, but with no care for beauty or law.
package randomjob

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"
)

// Job draws a job document. Every draw is a valid document; a module may still be refused for its limits.
func Job(t *rapid.T) string { return job(t, false) }

// Pair draws a job of two modules on one link wire, with a linked show across both.
func Pair(t *rapid.T) string { return job(t, true) }

func job(t *rapid.T, pair bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "lampwright: 1\njob: {title: random %d, use: show-only}\nlamps:\n", rapid.IntRange(0, 9999).Draw(t, "title"))
	n := rapid.IntRange(1, 2).Draw(t, "lamps")
	if pair {
		n = 2
	}
	var lamps []lamp
	for i := range n {
		lamps = append(lamps, drawLamp(t, &b, i, lamps))
	}
	b.WriteString("modules:\n")
	for i, l := range lamps {
		link := ""
		if pair {
			link = []string{", link: leader", ", link: follower"}[i]
		}
		fmt.Fprintf(&b, "  m%d: {board: %s, lamp: %s%s, wiring: {%s}}\n", i, l.board, l.name, link, drawWiring(t, l))
	}
	roads := rapid.Permutation([]string{"stop", "tail", "turn-lh", "turn-rh", "reverse"}).Draw(t, "roads")[:rapid.IntRange(2, 4).Draw(t, "signals")]
	inputs := append(append([]string{}, roads...), "show-a", "show-b")
	b.WriteString("inputs:\n")
	for i, in := range inputs {
		var pins []string
		for m := range lamps {
			pins = append(pins, fmt.Sprintf("m%d.in%d", m, i+1))
		}
		low := ""
		if rapid.IntRange(0, 4).Draw(t, "low") == 0 {
			low = ", active: low"
		}
		fmt.Fprintf(&b, "  %s: {wire: [%s]%s%s}\n", in, strings.Join(pins, ", "), low, drawFeed(t, in))
	}
	var routines, signals, shows strings.Builder
	for i := range lamps {
		drawFigures(t, &routines, &lamps[i])
	}
	for i, l := range lamps {
		for _, road := range roads {
			drawSignal(t, &routines, &signals, i, l, road)
		}
		if pair {
			continue
		}
		for _, in := range inputs[len(roads):] {
			drawShow(t, &routines, &shows, i, l, in)
		}
	}
	if pair {
		length := rapid.IntRange(250, 450).Draw(t, "ticks") * 4
		fmt.Fprintf(&routines, "  across: {length: %d ms, across: [%s, %s], strokes: [{swing: {direction: right, band: 80 mm, edge: 60 mm}}]}\n", length, lamps[0].name, lamps[1].name)
		shows.WriteString("  - across: {input: show-a, stay: across}\n")
	}
	b.WriteString("routines:\n" + routines.String() + "signals:\n" + signals.String())
	if shows.Len() > 0 {
		b.WriteString("shows:\n" + shows.String())
	}
	return b.String()
}
