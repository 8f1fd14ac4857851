package proof_test

import (
	"context"
	"testing"
	"time"

	"lampwright/kit"
	"lampwright/program"
	"lampwright/proof"
)

// fullJob asks as much of a module as it holds: 64 outputs under three layers that move all at once, each group by itself.
const fullJob = `lampwright: 1
job: {title: full, use: show-only}
lamps:
  wall:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - row: {name: wall, from: [0, 0], to: [630, 0], count: 64, group: 1, part: red-622}
modules:
  wall: {board: chain-64, lamp: wall, wiring: {wall: 1..64}}
inputs:
  tail: {wire: wall.in1}
  reverse: {wire: wall.in2}
  one: {wire: wall.in5}
routines:
  a: {length: 1 s, strokes: [{scatter: {on: wall, for: 1 s, times: 9, each: 16 ms, light: 80 %}}, {sweep: {on: wall, direction: outboard, edge: 300 mm}}]}
  b: {length: 1500 ms, seed: 3, strokes: [{scatter: {on: wall, for: 600 ms, times: 12, each: 12 ms, light: 60 %}}, {sweep: {on: wall, start: 300 ms, for: 900 ms, direction: outboard, edge: 300 mm}}]}
  c: {length: 1 s, seed: 5, strokes: [{scatter: {on: wall, for: 1 s, times: 12, each: 12 ms, light: 90 %}}]}
signals:
  - reverse: {input: reverse, takes: wall, stay: a}
  - tail: {input: tail, takes: wall, stay: b}
shows:
  - one: {input: one, stay: c}
`

// The fullest module keeps up: parity to the word, and its worst frame leaves a third of the time.
func TestFullestModule(t *testing.T) {
	t.Parallel()
	k, faults := kit.Parse("full.yaml", []byte(fullJob), kit.NoFiles)
	if k == nil {
		t.Fatal(faults)
	}
	r := compiled(t, k)
	if r.Modules[0].Fades != program.MaxFades {
		t.Fatalf("only %d fades", r.Modules[0].Fades)
	}
	verdicts, err := proof.Trial{Kit: k, Compiled: r, Line: timeline(t, "tail@201ms..3s reverse@203ms..3s one@193ms..3s"), Wires: wires, Length: 3 * time.Second, Cache: sharedDir}.Run(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range verdicts {
		const frameCycles = 8 * proof.CyclesARefresh
		if busy := v.Load.WorstFrameBusy; busy > frameCycles*2/3 {
			t.Errorf("%s: its worst frame is busy for %d of %d cycles", v.Module, busy, frameCycles)
		}
		for _, p := range v.Problems() {
			t.Error(p)
		}
	}
}

// The frame count wraps round after 65 536 frames, 262.144 s: nobody may see it.
func TestFrameCountWraps(t *testing.T) {
	t.Parallel()
	k, r := changed(t, "../examples/lamps/high-stop.yaml", ", sleep-after: 30 s", "")
	proven(t, k, r, "display@1s..2s display@201s..265s stop@250s..251s stop@262100ms..262200ms", 266*time.Second)
}
