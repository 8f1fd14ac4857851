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

// lamp is what the rest of a document must know of a lamp.
type lamp struct {
	name  string
	zones []string // patterns
	count []int    // groups of each
	board string
}

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
		fmt.Fprintf(&b, "  %s: {wire: [%s]%s}\n", in, strings.Join(pins, ", "), low)
	}
	var routines, signals, shows strings.Builder
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

func drawLamp(t *rapid.T, b *strings.Builder, i int, before []lamp) lamp {
	l := lamp{name: fmt.Sprintf("lamp-%d", i)}
	if i == 1 && rapid.Bool().Draw(t, "opposite") {
		l = before[0]
		l.name = "lamp-1"
		fmt.Fprintf(b, "  lamp-1: {opposite-hand-of: lamp-0}\n")
	} else {
		side := "LH"
		if i == 1 {
			side = "RH"
		}
		end := rapid.SampledFrom([]string{"rear", "front"}).Draw(t, "end")
		at := map[string]int{"LH": -600, "RH": 600}[side]
		fmt.Fprintf(b, "  lamp-%d:\n    place: {end: %s, side: %s, at: [%d mm, 800 mm]}\n    leds:\n", i, end, side, at)
		for p := range rapid.IntRange(1, 3).Draw(t, "patterns") {
			name := fmt.Sprintf("z%d", p+1)
			groups := drawPattern(t, b, name, float64(100*p))
			l.zones, l.count = append(l.zones, name), append(l.count, groups)
		}
	}
	need := 0
	for _, c := range l.count {
		need += c
	}
	var fit []string
	if need <= 12 {
		fit = append(fit, "pins", "pins")
	}
	for r := (need + 7) / 8; r <= 8; r++ {
		fit = append(fit, fmt.Sprintf("chain-%d", 8*r), fmt.Sprintf("chain-high-%d", 8*r))
	}
	l.board = rapid.SampledFrom(fit).Draw(t, "board")
	return l
}

// drawPattern writes a pattern above y mm and gives its groups.
func drawPattern(t *rapid.T, b *strings.Builder, name string, y float64) int {
	groups := rapid.IntRange(1, 8).Draw(t, "groups")
	each := rapid.IntRange(1, 3).Draw(t, "LEDs a group")
	n := groups * each
	body := fmt.Sprintf("name: %s, group: %d, part: red-622", name, each)
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
		fmt.Fprintf(b, "      - grid: {name: %s, group: 1 column, part: red-622, from: [0, %g], to: [%d, %g], columns: %d, rows: %d}\n",
			name, y, 12*(groups-1), y+8*float64(each-1), groups, each)
	}
	return groups
}

// drawWiring writes a wiring map in any soldered order.
func drawWiring(t *rapid.T, l lamp) string {
	var outputs int
	if _, err := fmt.Sscanf(l.board[strings.LastIndex(l.board, "-")+1:], "%d", &outputs); err != nil {
		outputs = 12
	}
	numbers := make([]int, outputs)
	for i := range numbers {
		numbers[i] = i + 1
	}
	if rapid.Bool().Draw(t, "soldered out of order") {
		numbers = rapid.Permutation(numbers).Draw(t, "outputs")
	}
	var parts []string
	for z, name := range l.zones {
		var list []string
		for range l.count[z] {
			list = append(list, fmt.Sprint(numbers[0]))
			numbers = numbers[1:]
		}
		parts = append(parts, fmt.Sprintf("%s: [%s]", name, strings.Join(list, ", ")))
	}
	return strings.Join(parts, ", ")
}

func drawZones(t *rapid.T, l lamp) []string {
	return rapid.Permutation(l.zones).Draw(t, "zones")[:rapid.IntRange(1, len(l.zones)).Draw(t, "taken")]
}

func drawSignal(t *rapid.T, routines, signals *strings.Builder, i int, l lamp, road string) {
	zones := drawZones(t, l)
	name := fmt.Sprintf("%s-%d", road, i)
	var takes []string
	for _, z := range zones {
		takes = append(takes, l.name+"."+z)
	}
	var keys []string
	moves := rapid.IntRange(0, 2).Draw(t, "moves") > 0
	if moves {
		keys = append(keys, "arrive: "+drawRoutine(t, routines, name+"-arrive", zones, 600))
		if strings.HasPrefix(road, "turn") && rapid.Bool().Draw(t, "flasher") {
			keys = append(keys, "pace: flasher")
		}
		if rapid.IntRange(0, 2).Draw(t, "window") == 0 {
			keys = append(keys, fmt.Sprintf("repeat-window: %d ms", rapid.IntRange(0, 1500).Draw(t, "window ms")))
		}
	}
	if !moves || rapid.Bool().Draw(t, "stay") {
		if rapid.Bool().Draw(t, "still") {
			light := rapid.SampledFrom([]int{0, 1, 5, 20, 60, 100, 100}).Draw(t, "light")
			fmt.Fprintf(routines, "  %s-stay: {strokes: [{hold: {on: [%s], light: %d %%}}]}\n", name, strings.Join(zones, ", "), light)
			keys = append(keys, "stay: "+name+"-stay")
		} else {
			keys = append(keys, "stay: "+drawRoutine(t, routines, name+"-stay", zones, 1200))
		}
	}
	if rapid.IntRange(0, 3).Draw(t, "leave") == 0 {
		keys = append(keys, "leave: "+drawRoutine(t, routines, name+"-leave", zones, 500))
	}
	if rapid.IntRange(0, 3).Draw(t, "keeps") == 0 {
		keys = append(keys, fmt.Sprintf("keeps: %d ms", rapid.IntRange(1, 900).Draw(t, "keeps ms")))
	}
	fmt.Fprintf(signals, "  - %s: {input: %s, takes: [%s], %s}\n", name, road, strings.Join(takes, ", "), strings.Join(keys, ", "))
}

func drawShow(t *rapid.T, routines, shows *strings.Builder, i int, l lamp, in string) {
	name := fmt.Sprintf("%s-%d", in, i)
	zones := drawZones(t, l)
	keys := []string{"stay: " + drawRoutine(t, routines, name+"-stay", zones, 2500)}
	for _, z := range zones {
		if len(keys) == 1 {
			keys = append(keys, "takes: ["+l.name+"."+z)
		} else {
			keys[1] += ", " + l.name + "." + z
		}
	}
	keys[1] += "]"
	if rapid.IntRange(0, 3).Draw(t, "show arrive") == 0 {
		keys = append(keys, "arrive: "+drawRoutine(t, routines, name+"-arrive", zones, 600))
	}
	if rapid.IntRange(0, 3).Draw(t, "show leave") == 0 {
		keys = append(keys, "leave: "+drawRoutine(t, routines, name+"-leave", zones, 600))
	}
	if rapid.IntRange(0, 2).Draw(t, "limit") == 0 {
		keys = append(keys, fmt.Sprintf("limit: %d ms", rapid.IntRange(300, 2000).Draw(t, "limit ms")))
	}
	if rapid.Bool().Draw(t, "ends") {
		keys = append(keys, "interrupted: ends")
	}
	fmt.Fprintf(shows, "  - %s: {input: %s, %s}\n", name, in, strings.Join(keys, ", "))
}

// drawRoutine writes a routine of at most so many ms over zones of one lamp and gives its name.
func drawRoutine(t *rapid.T, b *strings.Builder, name string, zones []string, most int) string {
	length := rapid.IntRange(40, most).Draw(t, "length")
	seed := rapid.IntRange(0, 500).Draw(t, "seed")
	fmt.Fprintf(b, "  %s: {length: %d ms, seed: %d, strokes: [", name, length, seed)
	for s := range rapid.IntRange(1, 3).Draw(t, "strokes") {
		if s > 0 {
			b.WriteString(", ")
		}
		b.WriteString(drawStroke(t, zones, length))
	}
	b.WriteString("]}\n")
	return name
}

func drawStroke(t *rapid.T, zones []string, length int) string {
	start := rapid.IntRange(0, length/2).Draw(t, "start")
	for_ := rapid.IntRange(8, length-start).Draw(t, "for")
	common := fmt.Sprintf("on: [%s], start: %d ms, for: %d ms, light: %d %%, meets: %s",
		strings.Join(rapid.Permutation(zones).Draw(t, "on")[:rapid.IntRange(1, len(zones)).Draw(t, "parts")], ", "), start, for_,
		rapid.IntRange(0, 100).Draw(t, "light"), rapid.SampledFrom([]string{"over", "brighter", "dimmer"}).Draw(t, "meets"))
	ease := "easing: " + rapid.SampledFrom([]string{"even", "gentle-start", "gentle-end", "gentle"}).Draw(t, "easing")
	way := "direction: " + rapid.SampledFrom([]string{"inboard", "outboard", "up", "down", "outward", "inward", "left", "right"}).Draw(t, "direction")
	edge := fmt.Sprintf("edge: %d mm, by: %s", rapid.IntRange(0, 60).Draw(t, "edge"), rapid.SampledFrom([]string{"led", "group"}).Draw(t, "by"))
	band := fmt.Sprintf("band: %d mm", rapid.IntRange(5, 80).Draw(t, "band"))
	switch rapid.IntRange(0, 8).Draw(t, "stroke") {
	case 0:
		return fmt.Sprintf("{sweep: {%s, %s, %s, %s}}", common, way, edge, ease)
	case 1:
		return fmt.Sprintf("{clear: {%s, %s, %s, %s}}", strings.Replace(common, "light: 100 %", "light: 90 %", 1), way, edge, ease)
	case 2:
		return fmt.Sprintf("{pass: {%s, %s, %s, %s, %s}}", common, way, edge, ease, band)
	case 3:
		return fmt.Sprintf("{swing: {%s, %s, %s, %s, %s}}", common, way, edge, ease, band)
	case 4:
		return fmt.Sprintf("{fade-up: {%s, %s}}", common, ease)
	case 5:
		return fmt.Sprintf("{fade-down: {%s, %s}}", common, ease)
	case 6:
		times := rapid.IntRange(1, 3).Draw(t, "times")
		return fmt.Sprintf("{beat: {%s, %s, times: %d}}", common, ease, times)
	case 7:
		return fmt.Sprintf("{hold: {%s}}", common)
	default:
		return fmt.Sprintf("{scatter: {%s, %s, each: %d ms}}", common, ease, rapid.IntRange(4, max(for_, 4)).Draw(t, "each"))
	}
}
