package proof_test

import (
	"strings"
	"testing"
	"time"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/proof"
	"lampwright/script"
)

// carJob is a pair of tail lamps, one on each core, with a show on the tail's zone. Tests change a piece of it.
const carJob = `lampwright: 1
job: {title: Car, use: show-only}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds:
      - row: {name: arrow, from: [0, 0], to: [110, 0], count: 4, group: each, part: amber-590}
      - row: {name: block, from: [0, 30], to: [110, 30], count: 4, group: each, part: red-622}
      - row: {name: edge, from: [0, 60], to: [110, 60], count: 4, group: each, part: red-small}
    functions: {stop: {zone: block, required: true}, turn: {zone: arrow, required: true}, tail: {zone: edge, required: true}}
  tail-rh: {opposite-hand-of: tail-lh}
modules:
  left: {board: chain-16, lamp: tail-lh, wiring: {arrow: 1..4, block: 5..8, edge: 9..12}, fed: {fuse: F3}}
  right: {board: pins, lamp: tail-rh, wiring: {arrow: 1..4, block: 5..8, edge: 9..12}, fed: {fuse: F3}}
guard: {shows-above: 11.8 V, halve-above: 17 V, shows-off-at: 85 °C, halve-at: 105 °C}
inputs:
  tail: {wire: [left.in1, right.in1]}
  stop: {wire: [left.in2, right.in2]}
  turn-lh: {wire: left.in3}
  turn-rh: {wire: right.in3}
  parked: {wire: [left.in4, right.in4]}
  switch: {wire: [left.in5, right.in5]}
  ignition: {wire: [left.in6, right.in6]}
routines:
  out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard, for: 150 ms, edge: 10 mm}}]}
  full: {strokes: [{hold: {on: block}}]}
  dim: {strokes: [{hold: {on: edge, light: 40 %}}]}
  glow: {strokes: [{hold: {on: edge}}]}
signals:
  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}
  - turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: out, pace: flasher}
  - stop: {input: stop, takes: block, stay: full}
  - tail: {input: tail, takes: edge, stay: dim}
shows:
  - glow: {input: switch, stay: glow}
`

const (
	carArrow outputs = 0x00F
	carBlock outputs = 0x0F0
	carEdge  outputs = 0xF00
)

// aCar compiles the car with pieces of its text replaced.
func aCar(t testing.TB, pairs ...string) (*kit.Kit, *compile.Result) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(carJob, pairs[i]) {
			t.Fatalf("the car does not say %q", pairs[i])
		}
	}
	k, faults := kit.Parse("car.yaml", []byte(strings.NewReplacer(pairs...).Replace(carJob)), kit.NoFiles)
	if k == nil {
		t.Fatal(faults)
	}
	return k, compiled(t, k)
}

// drive plays a script with presses and conditions, at 13.5 V where it says nothing of the supply, and tells what was shown. It gives how
// often each module started; nil where that is not counted.
type drive func(t testing.TB, k *kit.Kit, r *compile.Result, text string, tell witness) (starts []int)

// driven runs a test on reference engines and on the HEX of both cores, which is judged word by word.
func driven(t *testing.T, test func(*testing.T, drive)) {
	t.Helper()
	play := func(t testing.TB, k *kit.Kit, r *compile.Result, text string, tell witness, how player) {
		t.Helper()
		line := conditions(t, "supply=13.5V "+text)
		how(t, k, r, line, time.Duration(line.End())*us+100*ms, tell)
	}
	t.Run("engine", func(t *testing.T) {
		test(t, func(t testing.TB, k *kit.Kit, r *compile.Result, text string, tell witness) []int {
			play(t, k, r, text, tell, onEngines)
			return nil
		})
	})
	t.Run("HEX", func(t *testing.T) {
		test(t, func(t testing.TB, k *kit.Kit, r *compile.Result, text string, tell witness) (starts []int) {
			play(t, k, r, text, tell, func(t testing.TB, k *kit.Kit, r *compile.Result, line *script.Timeline, length time.Duration, tell witness) {
				for _, m := range withEvents(t, k, r, line, length, nil, tell).Modules {
					starts = append(starts, len(m.Boots))
				}
			})
			return starts
		})
	})
}

// withEvents plays a script on the HEX with further events of the bench.
func withEvents(t testing.TB, k *kit.Kit, r *compile.Result, line *script.Timeline, length time.Duration, more []proof.Event, tell witness) *proof.Log {
	t.Helper()
	setups, err := proof.Trial{Kit: k, Compiled: r, Line: line, Wires: wires, Length: length, Cache: sharedDir}.Setups()
	if err != nil || len(setups) != 1 {
		t.Fatalf("%d runs, %v", len(setups), err)
	}
	setups[0].Events = append(setups[0].Events, more...)
	return onSetup(t, r, setups[0], tell)
}

func conditions(t testing.TB, text string) *script.Timeline {
	t.Helper()
	s, faults := script.Parse("script", []byte(text), nil)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s.Timeline(1)
}

// during tells whether a time lies in a stretch.
func during(at, from, to time.Duration) bool { return at >= from && at < to }

// tally demands that something was seen often enough to mean anything.
type tally map[string]int

func (c tally) least(t testing.TB, n int, names ...string) {
	t.Helper()
	for _, name := range names {
		if c[name] < n {
			t.Errorf("only %d refreshes of: %s", c[name], name)
		}
	}
}
