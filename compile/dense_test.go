package compile_test

import (
	"fmt"
	"strings"
	"testing"

	"lampwright/compile"
	"lampwright/kit"
)

// denseJob is a bar of LEDs, each on an output of its own, under one show.
const denseJob = `lampwright: 1
job: {title: Density, use: show-only}
lamps:
  bar:
    place: {end: rear, side: RH, at: [600 mm, 900 mm]}
    leds: [{row: {name: bar, from: [0, 0], to: [%d, 0], count: %d, group: each, part: red-622}}]
modules:
  bar: {board: chain-%d, lamp: bar, wiring: {bar: 1..%d}}
inputs:
  one: {wire: bar.in1}
routines:
  sample: {length: %v ms, seed: 7, strokes: [%s]}
shows:
  - sample: {input: one, takes: bar, stay: sample}
`

// Spans and loops make code at least three times denser than the same fades as a track for each output, where strokes are by group and
// begin on whole frames: one sweep, ten of them, and shows of 20 s with all kinds of strokes, random ones among them. A soft sweep LED by
// LED has fades of which no two are alike: there code and tracks are level (the listing tells it of each routine).
func TestCodeIsThreeTimesDenserThanTracks(t *testing.T) {
	const pitch, edge, step = 10, 20, 40 // mm, mm, ms from LED to LED
	for _, c := range []struct {
		name       string
		outputs    int
		sweeps     int // in a row; 0: a show
		emberTicks int // how long one ember of the show glows
	}{
		{"a sweep of 16", 16, 1, 0},
		{"ten sweeps of 16", 16, 10, 0},
		{"ten sweeps of 64", 64, 10, 0},
		{"a show on 16", 16, 0, 130},
		{"a show on 64", 64, 0, 50},
	} {
		long := (pitch*(c.outputs-1) + edge) * step / pitch // ms
		length, strokes := long*c.sweeps, []string{fmt.Sprintf("{sweep: {on: bar, direction: outboard, for: %d ms, edge: %d mm, by: group, times: %d}}", long, edge, c.sweeps)}
		if c.sweeps == 0 {
			band := long + (edge+edge)*step/pitch
			length, strokes = 20_000, []string{
				fmt.Sprintf("{sweep: {on: bar, direction: outboard, for: %d ms, edge: %d mm, by: group}}", long, edge),
				fmt.Sprintf("{clear: {on: bar, direction: outboard, start: 3 s, for: %d ms, edge: %d mm, by: group}}", long, edge),
				fmt.Sprintf("{pass: {on: bar, direction: outboard, start: 6 s, for: %d ms, edge: %d mm, band: %d mm, by: group}}", band, edge, edge),
				fmt.Sprintf("{pass: {on: bar, direction: inboard, start: 9 s, for: %d ms, edge: %d mm, band: %d mm, by: group}}", band, edge, edge),
				"{beat: {on: bar, start: 12 s, for: 250 ms, times: 4, light: 70 %}}",
				fmt.Sprintf("{scatter: {on: bar, start: 14 s, for: 6 s, each: %d ms, light: 50 %%}}", 4*c.emberTicks),
			}
		}
		text := fmt.Sprintf(denseJob, pitch*(c.outputs-1), c.outputs, c.outputs, c.outputs, length, strings.Join(strokes, ", "))
		k, faults := kit.Parse("dense.yaml", []byte(text), kit.NoFiles)
		if k == nil {
			t.Fatalf("%s: %v", c.name, faults)
		}
		r, faults := compile.Compile(k, compile.Options{})
		if faults.HasErrors() {
			t.Fatalf("%s: %v", c.name, faults)
		}
		show := r.Modules[0].Layers[0].Routines[0]
		t.Logf("%s: %d fades, as tracks %d bytes, code %d: %.1f times denser", c.name, show.Fades, show.TrackBytes, len(show.Code.Code), show.TrackRatio())
		if show.TrackRatio() < 3 {
			t.Errorf("%s: the code is %.2f times denser than tracks, want 3", c.name, show.TrackRatio())
		}
	}
}
