package randomjob

import (
	"fmt"
	"slices"
	"strings"

	"pgregory.net/rapid"
)

// lamp is what the rest of a document must know of a lamp.
type lamp struct {
	name     string
	patterns []zone // all groups are of one of these
	zones    []zone // patterns, and zones by expression
	paths    []string
	figures  []string // routines to call, on any of its zones
	board    string
	outputs  []int // of its groups in layout order, from 1
	spare    []int // outputs that no group hangs on
	opposite bool  // the opposite hand of the first
}

// zone is a named set of groups.
type zone struct {
	name   string
	groups []group // in layout order
}

// group is one group of a pattern.
type group struct {
	at     int // in layout order over the whole lamp
	colour string
}

func drawLamp(t *rapid.T, b *strings.Builder, i int, before []lamp) lamp {
	l := lamp{name: fmt.Sprintf("lamp-%d", i)}
	if i == 1 && rapid.Bool().Draw(t, "opposite") {
		l = before[0]
		l.name, l.opposite = "lamp-1", true
		fmt.Fprintf(b, "  lamp-1: {opposite-hand-of: lamp-0}\n")
	} else {
		side := "LH"
		if i == 1 {
			side = "RH"
		}
		end := rapid.SampledFrom([]string{"rear", "front"}).Draw(t, "end")
		at := map[string]int{"LH": -600, "RH": 600}[side]
		fmt.Fprintf(b, "  lamp-%d:\n    place: {end: %s, side: %s, at: [%d mm, 800 mm]}\n    leds:\n", i, end, side, at)
		n := 0
		for p := range rapid.IntRange(1, 3).Draw(t, "patterns") {
			z := zone{name: fmt.Sprintf("z%d", p+1)}
			part := rapid.SampledFrom([]string{"red-622", "red-622", "amber-590", "white-150"}).Draw(t, "part")
			colour, _, _ := strings.Cut(part, "-")
			for range drawPattern(t, b, z.name, part, float64(100*p)) {
				z.groups = append(z.groups, group{n, colour})
				n++
			}
			l.patterns = append(l.patterns, z)
		}
		l.zones = slices.Clone(l.patterns)
		drawZones(t, b, &l)
		drawPaths(t, b, &l)
	}
	l.board = drawBoard(t, l)
	return l
}

// drawPattern writes a pattern above y mm and gives its groups.
func drawPattern(t *rapid.T, b *strings.Builder, name, part string, y float64) int {
	groups := rapid.IntRange(1, 8).Draw(t, "groups")
	each := rapid.IntRange(1, 3).Draw(t, "LEDs a group")
	n := groups * each
	body := fmt.Sprintf("name: %s, group: %d, part: %s", name, each, part)
	switch kind := rapid.IntRange(0, 5).Draw(t, "pattern"); {
	case kind == 0:
		fmt.Fprintf(b, "      - row: {%s, from: [0, %g], length: %d mm, count: %d}\n", body, y, 10*n+10, n)
	case kind == 1:
		fmt.Fprintf(b, "      - column: {%s, from: [%d, %g], length: 90 mm, count: %d}\n", body, rapid.IntRange(0, 90).Draw(t, "x"), y, n)
	case kind == 2 && n >= 2:
		fmt.Fprintf(b, "      - ring: {%s, centre: [50, %g], radius: 40 mm, count: %d, turn: %s}\n", body, y+45, n,
			rapid.SampledFrom([]string{"clockwise", "anticlockwise"}).Draw(t, "turn"))
	case kind == 3 && n >= 2:
		fmt.Fprintf(b, "      - arc: {%s, centre: [50, %g], radius: 40 mm, from: %d deg, to: %d deg, count: %d}\n", body, y+45,
			rapid.IntRange(-90, 0).Draw(t, "from"), rapid.IntRange(10, 200).Draw(t, "to"), n)
	case kind == 4 && n >= 2:
		fmt.Fprintf(b, "      - line: {%s, through: [[0, %g], [60, %g], [120, %g]], count: %d}\n", body, y, y+40, y+5, n)
	default:
		fmt.Fprintf(b, "      - grid: {name: %s, group: 1 column, part: %s, from: [0, %g], to: [%d, %g], columns: %d, rows: %d}\n",
			name, part, y, 12*(groups-1), y+8*float64(each-1), groups, each)
	}
	return groups
}

// drawZones writes zones by expression, none of them empty.
func drawZones(t *rapid.T, b *strings.Builder, l *lamp) {
	n := rapid.IntRange(0, 2).Draw(t, "expressions")
	if n > 0 {
		b.WriteString("    zones:\n")
	}
	for i := range n {
		var with, without []string
		var chosen, out []group
		if rapid.IntRange(0, 3).Draw(t, "whole lamp") > 0 {
			with, chosen = drawRegions(t, *l)
		} else {
			for _, p := range l.patterns {
				chosen = append(chosen, p.groups...)
			}
		}
		if rapid.Bool().Draw(t, "without") {
			without, out = drawRegions(t, *l)
			left := slices.DeleteFunc(slices.Clone(chosen), func(g group) bool { return slices.Contains(out, g) })
			if len(left) > 0 {
				chosen = left
			} else {
				without = nil
			}
		}
		var keys []string
		if len(with) > 0 {
			keys = append(keys, "with: ["+strings.Join(with, ", ")+"]")
		}
		if len(without) > 0 {
			keys = append(keys, "without: ["+strings.Join(without, ", ")+"]")
		}
		if len(keys) == 0 || rapid.IntRange(0, 2).Draw(t, "by colour") == 0 {
			colour := rapid.SampledFrom(chosen).Draw(t, "colour").colour
			keys = append(keys, "colour: "+colour)
			chosen = slices.DeleteFunc(slices.Clone(chosen), func(g group) bool { return g.colour != colour })
		}
		z := zone{name: fmt.Sprintf("e%d", i+1), groups: slices.Clone(chosen)}
		slices.SortFunc(z.groups, func(a, b group) int { return a.at - b.at })
		z.groups = slices.Compact(z.groups)
		if len(without) == 0 && len(with) > 0 && len(keys) == 1 && rapid.Bool().Draw(t, "short form") {
			fmt.Fprintf(b, "      %s: [%s]\n", z.name, strings.Join(with, ", "))
		} else {
			fmt.Fprintf(b, "      %s: {%s}\n", z.name, strings.Join(keys, ", "))
		}
		l.zones = append(l.zones, z)
	}
}

// drawRegions gives regions of a lamp, whole zones and runs of their groups, and the groups that they mean.
func drawRegions(t *rapid.T, l lamp) (regions []string, groups []group) {
	for _, z := range rapid.Permutation(l.zones).Draw(t, "zones")[:rapid.IntRange(1, len(l.zones)).Draw(t, "taken")] {
		n := len(z.groups)
		switch rapid.IntRange(0, 5).Draw(t, "part") {
		case 0:
			g := rapid.IntRange(1, n).Draw(t, "group")
			regions, groups = append(regions, fmt.Sprintf("%s.%d", z.name, g)), append(groups, z.groups[g-1])
		case 1:
			first, last := rapid.IntRange(1, n).Draw(t, "first"), rapid.IntRange(1, n).Draw(t, "last")
			regions = append(regions, fmt.Sprintf("%s.%d..%d", z.name, first, last))
			groups = append(groups, z.groups[min(first, last)-1:max(first, last)]...)
		default:
			regions, groups = append(regions, z.name), append(groups, z.groups...)
		}
	}
	return regions, groups
}

// drawPaths writes light paths. One round of a closed path is longer than any band with its edges.
func drawPaths(t *rapid.T, b *strings.Builder, l *lamp) {
	n := rapid.IntRange(0, 2).Draw(t, "paths")
	if n > 0 {
		b.WriteString("    paths:\n")
	}
	for i := range n {
		name := fmt.Sprintf("p%d", i+1)
		x, y := rapid.IntRange(60, 120).Draw(t, "path x"), rapid.IntRange(60, 300).Draw(t, "path y")
		switch rapid.IntRange(0, 2).Draw(t, "path") {
		case 0:
			fmt.Fprintf(b, "      %s: {through: [[0, 0], [%d, %d]]}\n", name, x, y)
		case 1:
			fmt.Fprintf(b, "      %s: {through: [[0, 10], [%d, 30], [10, %d], [%d, %d]]}\n", name, x, y, x, y)
		default:
			fmt.Fprintf(b, "      %s: {closed: true, through: [[0, 0], [%d, 0], [%d, %d], [0, %d]]}\n", name, x, x, y, y)
		}
		l.paths = append(l.paths, name)
	}
}

// drawBoard chooses a board that has an output for every group.
func drawBoard(t *rapid.T, l lamp) string {
	need := 0
	for _, p := range l.patterns {
		need += len(p.groups)
	}
	var fit []string
	if need <= 12 {
		fit = append(fit, "pins", "pins")
	}
	for r := (need + 7) / 8; r <= 8; r++ {
		fit = append(fit, fmt.Sprintf("chain-%d", 8*r), fmt.Sprintf("chain-high-%d", 8*r))
	}
	return rapid.SampledFrom(fit).Draw(t, "board")
}

// drawOutputs solders the groups of a lamp to its board in any order.
func drawOutputs(t *rapid.T, l *lamp) {
	var count int
	if _, err := fmt.Sscanf(l.board[strings.LastIndex(l.board, "-")+1:], "%d", &count); err != nil {
		count = 12
	}
	numbers := make([]int, count)
	for i := range numbers {
		numbers[i] = i + 1
	}
	if rapid.Bool().Draw(t, "soldered out of order") {
		numbers = rapid.Permutation(numbers).Draw(t, "outputs")
	}
	groups := 0
	for _, p := range l.patterns {
		groups += len(p.groups)
	}
	l.outputs, l.spare = numbers[:groups], numbers[groups:]
}

// wiring writes a lamp's wiring map.
func (l *lamp) wiring() string {
	var parts []string
	left := l.outputs
	for _, p := range l.patterns {
		var list []string
		for range p.groups {
			list = append(list, fmt.Sprint(left[0]))
			left = left[1:]
		}
		parts = append(parts, fmt.Sprintf("%s: [%s]", p.name, strings.Join(list, ", ")))
	}
	return strings.Join(parts, ", ")
}
