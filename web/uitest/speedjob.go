package uitest

import (
	"fmt"
	"strings"
)

// Sizes of the large job.
const (
	largeLamps    = 10
	largeLEDs     = 2000 // of all lamps
	largeRoutines = 50
	largeShows    = 3
)

// largeJob is a job of ten lamps with 200 LEDs each, in 30 groups, a module to a lamp, and 50 routines: four for each lamp alone, and ten
// shows over all of them.
func largeJob() string {
	var b strings.Builder
	put := func(format string, args ...any) { fmt.Fprintf(&b, format, args...) }
	put("lampwright: 1\njob: {title: A long coach, use: road-un}  # invented\n\nlamps:\n")
	name := func(n int) string { return fmt.Sprintf("lamp-%d", n) }
	for n := range largeLamps {
		end, side, x := "rear", "LH", across(n)
		if n >= largeLamps/2 {
			end = "front"
		}
		switch {
		case x == 0:
			side = "centre"
		case x > 0:
			side = "RH"
		}
		put("  %s:\n    place: {end: %s, side: %s, at: [%d mm, 900 mm]}\n    outline: [[0, 0], [200, 0], [200, 100], [0, 100]]\n    leds:\n", name(n), end, side, x)
		put("      - grid: {name: field, from: [5, 5], to: [195, 45], columns: 20, rows: 5, group: 1 column, part: red-622}\n")
		put("      - grid: {name: arrow, from: [5, 55], to: [195, 95], columns: 20, rows: 5, group: 2 columns, part: amber-590}\n")
		put("    zones:\n      inner: field.1..10\n    functions: {stop: {zone: field, required: true}, tail: {zone: field, required: true}, turn: {zone: arrow, required: true}}\n")
	}
	put("\nmodules:\n")
	for n := range largeLamps {
		link := "follower"
		if n == 0 {
			link = "leader"
		}
		put("  module-%d: {board: chain-32, lamp: %s, wiring: {field: 1..20, arrow: 21..30}, link: %s, fed: {fuse: F%d, also: [stop, tail]}}\n", n, name(n), link, n+1)
	}
	wire := func(in int, some func(n int) bool) string {
		var pins []string
		for n := range largeLamps {
			if some(n) {
				pins = append(pins, fmt.Sprintf("module-%d.in%d", n, in))
			}
		}
		return strings.Join(pins, ", ")
	}
	every := func(int) bool { return true }
	left := func(n int) bool { return across(n) <= 0 }
	right := func(n int) bool { return !left(n) }
	put("\ninputs:\n  tail: {wire: [%s], feed: {kind: steady}}\n  stop: {wire: [%s], feed: {kind: steady}}\n", wire(1, every), wire(2, every))
	put("  turn-lh: {wire: [%s], feed: {kind: flasher}}\n  turn-rh: {wire: [%s], feed: {kind: flasher}}\n", wire(3, left), wire(3, right))
	for n := range largeShows {
		put("  remote-%d: {wire: [%s], feed: {kind: relay}}\n", n+1, wire(5+n, every))
	}
	put("\nroutines:\n")
	for n := range largeLamps {
		put("  out-%d: {length: 150 ms, strokes: [{sweep: {on: %s.arrow, direction: outboard, for: 150 ms, edge: 12 mm, by: group}}]}\n", n, name(n))
		put("  full-%d: {strokes: [{hold: {on: %s.field, light: 100 %%}}]}\n", n, name(n))
		put("  dim-%d: {strokes: [{hold: {on: %s.field, light: 12 %%}}]}\n", n, name(n))
		put("  glow-%d: {length: 2 s, strokes: [{swing: {on: %s.field, direction: outboard, band: 60 mm, edge: 30 mm, by: group, for: 2 s}}]}\n", n, name(n))
	}
	var all []string
	for n := range largeLamps {
		all = append(all, name(n))
	}
	for n := range largeRoutines - 4*largeLamps {
		put("  wave-%d:\n    length: 2 s\n    across: [%s]\n    strokes:\n", n, strings.Join(all, ", "))
		put("      - hold: {on: field, light: 4 %%}\n      - pass: {on: [field, arrow], direction: right, band: %d mm, edge: 100 mm, by: group, for: 2 s, easing: gentle, meets: brighter}\n", 300+20*n)
	}
	put("\nsignals:\n")
	for n := range largeLamps {
		turn := "turn-lh"
		if right(n) {
			turn = "turn-rh"
		}
		put("  - turn-%d: {input: %s, takes: %s.arrow, arrive: out-%d, pace: flasher}\n", n, turn, name(n), n)
		put("  - stop-%d: {input: stop, takes: %s.field, stay: full-%d}\n", n, name(n), n)
		put("  - tail-%d: {input: tail, takes: %s.field, stay: dim-%d}\n", n, name(n), n)
	}
	put("\nshows:\n")
	for n := range largeShows {
		put("  - show-%d: {input: remote-%d, stay: wave-%d, limit: 10 min}\n", n, n+1, n)
	}
	return b.String()
}

// across is where a lamp of the large job stands, mm: five lamps at each end.
func across(n int) int { return -900 + n%(largeLamps/2)*450 }
