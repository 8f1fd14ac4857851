package compile

import (
	"fmt"
	"strings"
	"testing"

	"lampwright/kit"
)

// BenchmarkCompileDemo compiles the demo job: five modules with two shows of 4 and 6 s.
func BenchmarkCompileDemo(b *testing.B) {
	k, _, list := kit.Load("../examples/pickup/pickup.yaml")
	if k == nil {
		b.Fatal(list)
	}
	for b.Loop() {
		Compile(k, Options{})
	}
}

// panelJob is a job of one large lamp: four panels of LEDs in 60 groups, with a show of some seconds.
func panelJob(leds, seconds int) string {
	var grids, wires []string
	for n := range 4 {
		grids = append(grids, fmt.Sprintf("{grid: {name: p%d, from: [%d, 0], to: [%d, 590], columns: %d, rows: 15, group: 1 row, part: red-622}}", n, n*500, n*500+490, leds/60))
		wires = append(wires, fmt.Sprintf("p%d: %d..%d", n, n*15+1, n*15+15))
	}
	return fmt.Sprintf(`lampwright: 1
job: {title: Panel, use: show-only}
lamps:
  panel:
    place: {end: rear, side: centre, at: [0 mm, 900 mm]}
    leds: [%s]
modules: {one: {board: chain-64, lamp: panel, wiring: {%s}}}
inputs: {a: {wire: one.in1}}
routines:
  show:
    length: %d s
    strokes:
      - swing: {direction: up, band: 80 mm, edge: 60 mm, for: 4 s, times: %d, easing: gentle}
      - scatter: {for: 2 s, each: 500 ms, times: %d, every: 2500 ms, meets: brighter}
shows: [{show: {input: a, stay: show}}]
`, strings.Join(grids, ", "), strings.Join(wires, ", "), seconds, max(seconds/4, 1), max(seconds*2/5, 1))
}

func benchmarkJob(b *testing.B, text string) {
	k, list := kit.Parse("job.yaml", []byte(text), kit.NoFiles)
	if k == nil {
		b.Fatal(list)
	}
	r, _ := Compile(k, Options{}) // the longest are too large for a module; compiled they are all the same
	b.ReportMetric(float64(len(r.Modules[0].Layers[0].Routines[0].Code.Code)), "code-bytes")
	for b.Loop() {
		Compile(k, Options{})
	}
}

func BenchmarkCompileLEDs(b *testing.B) {
	for _, leds := range []int{600, 3000, 10_200} {
		b.Run(fmt.Sprint(leds), func(b *testing.B) { benchmarkJob(b, panelJob(leds, 4)) })
	}
}

func BenchmarkCompileSeconds(b *testing.B) {
	for _, seconds := range []int{4, 20, 60} {
		b.Run(fmt.Sprint(seconds), func(b *testing.B) { benchmarkJob(b, panelJob(600, seconds)) })
	}
}
