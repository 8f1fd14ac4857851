package session

import (
	"encoding/json"
	"strings"
	"testing"
)

const oneSide = `lampwright: 1
job: {title: One side, use: road-us}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    outline: [[0, 0], [100, 0], [100, 60], [0, 60]]
    leds:
      - row: {name: arrow, from: [10, 10], to: [80, 10], count: 8, group: 1, part: amber-590}   # sweeps
      - grid: {name: block, from: [1/2 in, 20 mm], to: [80, 50], columns: 4, rows: 2, group: 2 columns, part: red-622}
    functions:
      turn: {zone: arrow, required: true}
      stop: {zone: block, required: true}
modules:
  rear-lh: {board: chain-16, lamp: tail-lh, link: leader, wiring: {arrow: 8..1, block: 9..10}}
inputs:
  stop: {wire: rear-lh.in2, feed: {kind: steady}}
  turn-lh: {wire: rear-lh.in3, feed: {kind: flasher}}
  button: {wire: rear-lh.in5, feed: {kind: relay}}
routines:
  out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard, for: 150 ms}}]}
  full: {strokes: [{hold: {on: block, light: 100 %}}]}
  drift: {length: 2 s, across: [tail-lh], strokes: [{pass: {on: block, direction: right, band: 200 mm, for: 2 s}}]}
signals:
  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}   # first
  - stop: {input: stop, takes: tail-lh.block, stay: full}
shows:
  - drift: {input: button, stay: drift}
`

func TestTheOppositeHandIsAWholeLamp(t *testing.T) {
	d, path := opened(t, oneSide, Options{})
	must(t, d.Do(d.State().Revision, "opposite", json.RawMessage(`{"of":"tail-lh","name":"tail-rh","module":"rear-rh"}`)))
	s := d.State()
	if s.Kit == nil {
		t.Fatalf("%v\n%s", s.Problems, s.Text)
	}
	for _, want := range []string{
		"tail-rh: {opposite-hand-of: tail-lh}",
		"rear-rh: {board: chain-16, lamp: tail-rh, link: follower, wiring: {arrow: 8..1, block: 9..10}}",
		"stop: {wire: [rear-lh.in2, rear-rh.in2]", "turn-rh: {wire: rear-rh.in3, feed: {kind: flasher}}", "button: {wire: [rear-lh.in5, rear-rh.in5]",
		"- turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: out, pace: flasher}", "takes: [tail-lh.block, tail-rh.block]", "across: [tail-lh, tail-rh]", "# first", "# sweeps",
	} {
		if !strings.Contains(s.Text, want) {
			t.Errorf("no %q in\n%s", want, s.Text)
		}
	}
	must(t, d.Undo(s.Revision))
	if onDisk(t, path) != oneSide {
		t.Error("it cannot be taken back in one step")
	}
	for args, says := range map[string]string{
		`{"of":"nose","name":"x"}`: "no lamp", `{"of":"tail-lh","name":"tail-lh"}`: "already", `{"of":"tail-lh","name":"X"}`: "cannot be a name",
		`{"of":"tail-lh","name":"x","module":"rear-lh"}`: "already",
	} {
		if list := d.Do(d.State().Revision, "opposite", json.RawMessage(args)); !strings.Contains(list.Error(), says) {
			t.Errorf("%s: %v", args, list)
		}
	}
}

func TestShiftMovesEveryPoint(t *testing.T) {
	d, _ := opened(t, oneSide, Options{})
	must(t, d.Do(d.State().Revision, "shift", json.RawMessage(`{"paths":[["lamps","tail-lh","leds","0"],["lamps","tail-lh","leds","1"],["lamps","tail-lh","outline"]],"by":[2.5,-1]}`)))
	for _, want := range []string{"from: [12.5, 9], to: [82.5, 9]", "from: [15.2, 19], to: [82.5, 49]", "outline: [[2.5, -1], [102.5, -1], [102.5, 59], [2.5, 59]]", "# sweeps"} {
		if !strings.Contains(d.State().Text, want) {
			t.Errorf("no %q in\n%s", want, d.State().Text)
		}
	}
	for args, says := range map[string]string{`{"paths":[["lamps","other"]],"by":[1,1]}`: "nothing at", `{"paths":[["job"]],"by":[1,1]}`: "has a place"} {
		if list := d.Do(d.State().Revision, "shift", json.RawMessage(args)); !strings.Contains(list.Error(), says) {
			t.Errorf("%s: %v", args, list)
		}
	}
}

func TestOrderAndCopy(t *testing.T) {
	d, _ := opened(t, oneSide, Options{})
	must(t, d.Do(d.State().Revision, "order", json.RawMessage(`{"path":["signals","1"],"to":0}`)))
	if s := d.State(); s.Kit == nil || s.Kit.Layers[0].Name != "stop" || !strings.Contains(s.Text, "pace: flasher}   # first") {
		t.Errorf("%s", s.Text)
	}
	must(t, d.Do(d.State().Revision, "copy", json.RawMessage(`{"from":["routines","out"],"into":["routines"],"key":"out-slow"}`)))
	must(t, d.Do(d.State().Revision, "copy", json.RawMessage(`{"from":["routines","out","strokes","0"],"into":["routines","full","strokes"]}`)))
	if s := d.State(); s.Kit == nil || !strings.Contains(s.Text, "out-slow: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard, for: 150 ms}}]}") {
		t.Errorf("%v\n%s", s.Problems, s.Text)
	}
}
