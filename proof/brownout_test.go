package proof_test

import (
	"strings"
	"testing"
	"time"
)

// What a loss of supply leaves (docs/engine.md, section 7.1): no repeat window, so that a return within it plays the arrive routine again; and
// a show whose limit had run out runs anew while its switch is still held.
func TestRepeatStateAfterBrownOut(t *testing.T) {
	t.Parallel()
	k, r := aCar(t, "  full: {strokes", "  grow: {length: 400 ms, strokes: [{sweep: {on: block, direction: up, for: 400 ms, edge: 30 mm}}]}\n  full: {strokes",
		"takes: block, stay: full", "takes: block, arrive: grow, stay: full, repeat-window: 5 s", "- glow: {input: switch,", "- glow: {input: switch, limit: 512 ms,")
	const presses = "stop@500ms..1200ms stop@2s..2900ms switch@300ms..4s"
	const full = 100 * ms // a return shows all of it by then, and an arrive not yet
	for _, c := range []struct {
		name, cut string
		whole     bool // the second press is full at once
		show      bool // and the show is lit at its time
	}{{"without", "", true, false}, {"cut", " battery:F3=gone@1400ms..1600ms", false, true}} {
		t.Run(c.name, func(t *testing.T) {
			driven(t, func(t *testing.T, drive drive) {
				count := tally{}
				starts := drive(t, k, r, presses+c.cut, func(i int, v seen) {
					switch {
					case during(v.at, 2*time.Second+full, 2*time.Second+2*full):
						if count["return"]++; (carBlock&^v.full == 0) != c.whole {
							t.Errorf("module %d at %v: full are %03x", i, v.at, v.full)
						}
					case during(v.at, 2500*ms, 2900*ms):
						if count["held"]++; carBlock&^v.full != 0 {
							t.Errorf("module %d at %v: full are %03x", i, v.at, v.full)
						}
					}
					if during(v.at, 1750*ms, 2*time.Second) {
						if count["show"]++; (v.lit&carEdge != 0) != c.show {
							t.Errorf("module %d at %v: lit are %03x", i, v.at, v.lit)
						}
					}
					if during(v.at, 2800*ms, 4*time.Second) && v.lit&carEdge != 0 {
						t.Errorf("module %d at %v: the show runs past its limit", i, v.at)
					}
				})
				count.least(t, 300, "return", "held", "show")
				for i, n := range starts {
					if n != 1+strings.Count(c.cut, "battery") {
						t.Errorf("module %d started %d times", i, n)
					}
				}
			})
		})
	}
}
