package randomjob

import (
	"fmt"
	"slices"
	"strings"

	"pgregory.net/rapid"
)

// taken writes regions as what a signal or show of one lamp takes.
func taken(l lamp, regions []string) string {
	var takes []string
	for _, r := range regions {
		takes = append(takes, l.name+"."+r)
	}
	return "takes: [" + strings.Join(takes, ", ") + "]"
}

func drawSignal(t *rapid.T, routines, signals *strings.Builder, i int, l lamp, road string, zones []string) {
	name := fmt.Sprintf("%s-%d", road, i)
	keys := []string{taken(l, zones)}
	moves := rapid.IntRange(0, 2).Draw(t, "moves") > 0
	if moves {
		keys = append(keys, "arrive: "+drawRoutine(t, routines, name+"-arrive", l, zones, 600))
		if strings.HasPrefix(road, "turn") && rapid.Bool().Draw(t, "flasher") {
			keys = append(keys, "pace: flasher")
		}
		keys = append(keys, drawWindow(t)...)
	}
	if !moves || rapid.Bool().Draw(t, "stay") {
		if rapid.Bool().Draw(t, "still") {
			light := rapid.SampledFrom([]int{0, 1, 5, 20, 60, 100, 100}).Draw(t, "light")
			fmt.Fprintf(routines, "  %s-stay: {strokes: [{hold: {on: [%s], light: %d %%}}]}\n", name, strings.Join(zones, ", "), light)
			keys = append(keys, "stay: "+name+"-stay")
		} else {
			keys = append(keys, "stay: "+drawRoutine(t, routines, name+"-stay", l, zones, 1200))
		}
	}
	if rapid.IntRange(0, 3).Draw(t, "leave") == 0 {
		keys = append(keys, "leave: "+drawRoutine(t, routines, name+"-leave", l, zones, 500))
	}
	if rapid.IntRange(0, 3).Draw(t, "keeps") == 0 {
		keys = append(keys, fmt.Sprintf("keeps: %d ms", rapid.IntRange(0, 900).Draw(t, "keeps ms")))
	}
	fmt.Fprintf(signals, "  - %s: {input: %s, %s}\n", name, road, strings.Join(keys, ", "))
}

// drawShow writes a show that any of the inputs but its own may bar.
func drawShow(t *rapid.T, routines, shows *strings.Builder, i int, l lamp, in string, inputs []string) {
	name := fmt.Sprintf("%s-%d", in, i)
	zones, _ := drawRegions(t, l)
	keys := []string{"stay: " + drawRoutine(t, routines, name+"-stay", l, zones, 2500)}
	if rapid.IntRange(0, 3).Draw(t, "show takes") > 0 {
		keys = append(keys, taken(l, zones))
	}
	if rapid.IntRange(0, 3).Draw(t, "show arrive") == 0 {
		keys = append(keys, "arrive: "+drawRoutine(t, routines, name+"-arrive", l, zones, 600))
		keys = append(keys, drawWindow(t)...)
	}
	if rapid.IntRange(0, 3).Draw(t, "show leave") == 0 {
		keys = append(keys, "leave: "+drawRoutine(t, routines, name+"-leave", l, zones, 600))
	}
	if rapid.IntRange(0, 2).Draw(t, "limit") == 0 {
		keys = append(keys, fmt.Sprintf("limit: %d ms", rapid.IntRange(300, 2000).Draw(t, "limit ms")))
	}
	if rapid.Bool().Draw(t, "ends") {
		keys = append(keys, "interrupted: ends")
	}
	keys = append(keys, drawBars(t, in, inputs)...)
	fmt.Fprintf(shows, "  - %s: {input: %s, %s}\n", name, in, strings.Join(keys, ", "))
}

// drawBars gives the inputs that bar a show and those of which it needs one, or none.
func drawBars(t *rapid.T, own string, inputs []string) (keys []string) {
	others := rapid.Permutation(slices.DeleteFunc(slices.Clone(inputs), func(in string) bool { return in == own })).Draw(t, "bars")
	for _, word := range []string{"not-while", "only-while"} {
		if rapid.IntRange(0, 3).Draw(t, word) > 0 || len(others) == 0 {
			continue
		}
		n := rapid.IntRange(1, min(len(others), 3)).Draw(t, "barring")
		keys = append(keys, word+": ["+strings.Join(others[:n], ", ")+"]")
		others = others[n:]
	}
	return keys
}

// drawWindow gives a repeat window, or none.
func drawWindow(t *rapid.T) []string {
	if rapid.IntRange(0, 2).Draw(t, "window") > 0 {
		return nil
	}
	return []string{fmt.Sprintf("repeat-window: %d ms", rapid.IntRange(0, 1500).Draw(t, "window ms"))}
}
