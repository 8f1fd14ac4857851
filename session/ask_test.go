package session

import "testing"

const twoHands = `lampwright: 1
job: {title: Two hands, use: road-us}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - row: {name: arrow, from: [0, 0], to: [70, 0], count: 8, group: 2, part: amber-590}
      - row: {name: block, from: [0, 30], to: [70, 30], count: 8, group: 2, part: red-622}
    functions: {turn: {zone: arrow, required: true}, stop: {zone: block.1..2, required: true}}
  tail-rh: {opposite-hand-of: tail-lh}
  nose:
    place: {end: front, side: centre, at: [0 mm, 700 mm]}
    leds: [row: {name: strip, from: [0, 0], to: [70, 0], count: 8, group: 2, part: white-150}]
modules:
  m-lh: {board: chain-8, lamp: tail-lh, wiring: {arrow: 1..4, block: 5..8}}
  m-rh: {board: chain-8, lamp: tail-rh, wiring: {arrow: 1..4, block: 5..8}}
  m-nose: {board: chain-8, lamp: nose, wiring: {strip: 1..4}}
`

// What is asked for has a wire, a plain routine and a place in the order of signals, each in one step.
func TestSomethingIsAskedFor(t *testing.T) {
	d, path := opened(t, twoHands, Options{})
	must(t, do(d, "ask", `{"input":"tail"}`))
	says(t, d.State().Text,
		"inputs:\n  tail: {wire: [m-lh.in1, m-rh.in1, m-nose.in1]}\n",
		"routines:\n  dim: {strokes: [{hold: {light: 15 %}}]}\n",
		"signals:\n  - tail: {input: tail, takes: [tail-lh, tail-rh, nose], stay: dim}\n")
	undone(t, d, path, twoHands)
	must(t, d.Redo(d.State().Revision))
	must(t, do(d, "ask", `{"input":"stop"}`))
	must(t, do(d, "ask", `{"input":"turn-rh"}`))
	must(t, do(d, "ask", `{"input":"turn-lh"}`))
	must(t, do(d, "ask", `{"input":"remote-1"}`))
	says(t, d.State().Text,
		"  stop: {wire: [m-lh.in2, m-rh.in2]}\n  turn-rh: {wire: m-rh.in3}\n  turn-lh: {wire: m-lh.in3}\n  remote-1: {wire: [m-lh.in4, m-rh.in4, m-nose.in2]}\n",
		"  full: {strokes: [{hold: {light: 100 %}}]}\n  turn-out: {length: 150 ms, strokes: [{sweep: {direction: outboard, for: 150 ms, by: group}}]}\n  drift: {length: 4 s, across: [tail-lh, tail-rh, nose], strokes: [{swing: {direction: right,",
		"signals:\n  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: turn-out, pace: flasher}\n  - turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: turn-out, pace: flasher}\n"+
			"  - stop: {input: stop, takes: [tail-lh.block.1..2, tail-rh.block.1..2], stay: full}\n  - tail:",
		"shows:\n  - drift: {input: remote-1, stay: drift, limit: 10 min}\n")
	if s := d.State(); s.Kit == nil {
		t.Errorf("the job does not stand:\n%v", s.Problems)
	}
	// A second show plays on: what is as wished is used again, and the name is another.
	must(t, do(d, "ask", `{"input":"remote-2"}`))
	says(t, d.State().Text, "  - drift-2: {input: remote-2, stay: drift, limit: 10 min}\n", "!drift-2: {length")
	if list := do(d, "ask", `{"input":"stop"}`); !list.HasErrors() {
		t.Error("stop is asked for twice")
	}
}

// A routine of that name which does something else stays, and so does an input that is there.
func TestWhatIsThereStays(t *testing.T) {
	d, _ := opened(t, twoHands+"inputs:\n  stop: {wire: m-rh.in5}   # the survey\nroutines:\n  full: {strokes: [hold: {on: block, light: 80 %}]}\n", Options{})
	must(t, do(d, "ask", `{"input":"stop"}`))
	says(t, d.State().Text, "  stop: {wire: m-rh.in5}   # the survey\n", "  full-2: {strokes:", "  - stop: {input: stop, takes: tail-rh.block.1..2, stay: full-2}\n")
}

func TestWhatCannotBeAskedFor(t *testing.T) {
	refusals(t, twoHands, [][3]string{
		{"ask", `{"input":"Stop"}`, "cannot be a name"},
		{"ask", `{"input":""}`, "cannot be a name"},
	})
	refusals(t, "lampwright: 1\njob: {title: Bare, use: show-only}\n", [][3]string{{"ask", `{"input":"stop"}`, "not all known"}})
	refusals(t, oneSide, [][3]string{{"ask", `{"input":"drl"}`, "no module"}})
	full := twoHands + "inputs:\n"
	for _, pin := range []string{"1", "2", "3", "4", "5", "6", "7", "8"} {
		full += "  a" + pin + ": {wire: m-lh.in" + pin + "}\n"
	}
	refusals(t, full, [][3]string{{"ask", `{"input":"stop"}`, "inputs of m-lh are taken"}})
}
