package randomjob

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"
)

// drawFigures writes routines that others of the lamp may call; the second may call the first.
func drawFigures(t *rapid.T, b *strings.Builder, l *lamp) {
	l.figures = nil
	for i := range rapid.IntRange(0, 2).Draw(t, "figures") {
		zones, _ := drawRegions(t, *l)
		l.figures = append(l.figures, drawRoutine(t, b, fmt.Sprintf("figure-%s-%d", l.name, i), *l, zones, 400))
	}
}

// drawRoutine writes a routine of at most so many ms over regions of one lamp and gives its name.
func drawRoutine(t *rapid.T, b *strings.Builder, name string, l lamp, zones []string, most int) string {
	length := rapid.IntRange(40, most).Draw(t, "length")
	seed := rapid.IntRange(0, 500).Draw(t, "seed")
	fmt.Fprintf(b, "  %s: {length: %d ms, seed: %d, strokes: [", name, length, seed)
	for s := range rapid.IntRange(1, 3).Draw(t, "strokes") {
		if s > 0 {
			b.WriteString(", ")
		}
		if len(l.figures) > 0 && rapid.IntRange(0, 4).Draw(t, "call") == 0 {
			b.WriteString(drawCall(t, l, zones, length))
		} else {
			b.WriteString(drawStroke(t, l, zones, length))
		}
	}
	b.WriteString("]}\n")
	return name
}

func drawMeets(t *rapid.T) string {
	return "meets: " + rapid.SampledFrom([]string{"over", "brighter", "dimmer"}).Draw(t, "meets")
}

// drawOn chooses some of the regions, some of them by the lamp's full name.
func drawOn(t *rapid.T, l lamp, zones []string) string {
	var on []string
	for _, z := range rapid.Permutation(zones).Draw(t, "on")[:rapid.IntRange(1, len(zones)).Draw(t, "parts")] {
		if rapid.IntRange(0, 5).Draw(t, "full name") == 0 {
			z = l.name + "." + z
		}
		on = append(on, z)
	}
	return "on: [" + strings.Join(on, ", ") + "]"
}

func drawCall(t *rapid.T, l lamp, zones []string, length int) string {
	keys := []string{"routine: " + rapid.SampledFrom(l.figures).Draw(t, "figure"), drawMeets(t)}
	start := rapid.IntRange(0, length/2).Draw(t, "start")
	keys = append(keys, fmt.Sprintf("start: %d ms", start))
	if rapid.Bool().Draw(t, "fitted") {
		keys = append(keys, fmt.Sprintf("for: %d ms", rapid.IntRange(8, length-start).Draw(t, "for")))
	}
	if rapid.Bool().Draw(t, "backwards") {
		keys = append(keys, "backwards: true")
	}
	if rapid.Bool().Draw(t, "held to") {
		keys = append(keys, drawOn(t, l, zones))
	}
	return "{call: {" + strings.Join(keys, ", ") + "}}"
}

// drawWay gives a direction, or a light path and which way along it. A direction that goes round is no way for a band, which
// may be wider than the round.
func drawWay(t *rapid.T, l lamp, band bool) string {
	if len(l.paths) > 0 && rapid.IntRange(0, 2).Draw(t, "along") == 0 {
		way := "along: " + rapid.SampledFrom(l.paths).Draw(t, "path")
		if rapid.Bool().Draw(t, "backwards") {
			way += ", backwards: true"
		}
		return way
	}
	ways := []string{"inboard", "outboard", "up", "down", "outward", "inward", "left", "right"}
	if !band {
		ways = append(ways, "clockwise", "anticlockwise")
	}
	return "direction: " + rapid.SampledFrom(ways).Draw(t, "direction")
}

func drawStroke(t *rapid.T, l lamp, zones []string, length int) string {
	start := rapid.IntRange(0, length/2).Draw(t, "start")
	for_ := rapid.IntRange(8, length-start).Draw(t, "for")
	light := rapid.IntRange(0, 100).Draw(t, "light")
	common := fmt.Sprintf("%s, start: %d ms, for: %d ms, light: %d %%, %s", drawOn(t, l, zones), start, for_, light, drawMeets(t))
	ease := "easing: " + rapid.SampledFrom([]string{"even", "gentle-start", "gentle-end", "gentle"}).Draw(t, "easing")
	edge := fmt.Sprintf("edge: %d mm, by: %s", rapid.IntRange(0, 60).Draw(t, "edge"), rapid.SampledFrom([]string{"led", "group"}).Draw(t, "by"))
	band := fmt.Sprintf("band: %d mm", rapid.IntRange(5, 80).Draw(t, "band"))
	from := func(least, most int) string {
		if rapid.IntRange(0, 2).Draw(t, "from") > 0 {
			return ""
		}
		return fmt.Sprintf(", from: %d %%", rapid.IntRange(least, most).Draw(t, "from light"))
	}
	switch rapid.IntRange(0, 8).Draw(t, "stroke") {
	case 0:
		return fmt.Sprintf("{sweep: {%s, %s, %s, %s%s}}", common, drawWay(t, l, false), edge, ease, from(0, 100))
	case 1:
		return fmt.Sprintf("{clear: {%s, %s, %s, %s%s}}", common, drawWay(t, l, false), edge, ease, from(0, 100))
	case 2:
		return fmt.Sprintf("{pass: {%s, %s, %s, %s, %s}}", common, drawWay(t, l, true), edge, ease, band)
	case 3:
		return fmt.Sprintf("{swing: {%s, %s, %s, %s, %s}}", common, drawWay(t, l, true), edge, ease, band)
	case 4:
		return fmt.Sprintf("{fade-up: {%s, %s%s}}", common, ease, from(0, light))
	case 5:
		return fmt.Sprintf("{fade-down: {%s, %s%s}}", common, ease, from(light, 100))
	case 6:
		times := rapid.IntRange(1, 3).Draw(t, "times")
		return fmt.Sprintf("{beat: {%s, %s, times: %d%s}}", common, ease, times, from(0, 100))
	case 7:
		return fmt.Sprintf("{hold: {%s}}", common)
	default:
		return fmt.Sprintf("{scatter: {%s, %s, each: %d ms%s}}", common, ease, rapid.IntRange(4, max(for_, 4)).Draw(t, "each"), from(0, 100))
	}
}
