package kit

import (
	"slices"
	"strings"
	"testing"

	"lampwright/board"
	"lampwright/feed"
	"lampwright/report"
	"lampwright/script"
	"lampwright/units"
)

// car is a job with all words of the real car; tests change a piece of it.
const car = `lampwright: 1
job: {title: car, use: show-only}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds:
      - row: {name: arrow, from: [0, 0], to: [110, 0], count: 12, group: 2, part: amber-590}
      - row: {name: block, from: [0, 30], to: [110, 30], count: 12, group: 3, part: red-622}
    functions: {stop: {zone: block, required: true}, turn: {zone: arrow, required: true}}
  tail-rh: {opposite-hand-of: tail-lh}
  bar: {place: {end: rear, side: centre, at: [0 mm, 900 mm]}, leds: [{row: {name: bar, from: [0, 0], to: [9, 0], count: 2, group: 2, part: red-622}}]}
modules:
  left: {board: chain-16, lamp: tail-lh, wiring: {arrow: 1..6, block: 7..10}, fed: {fuse: F3, also: [stop, turn-lh]}, stream: true}
  right: {board: chain-16, lamp: tail-rh, wiring: {arrow: 6..1, block: [9..10, 7..8]}, fed: {fuse: F4, also: stop}, same-image-as: left}
  third: {board: pins, lamp: bar, wiring: {bar: 1}}
guard: {shows-above: 11.8 V, sleep-after: 30 s, shows-off-at: 85 °C, halve-at: 105 °C}
inputs:
  stop: {wire: [left.in2, right.in2]}
  turn-lh: {wire: left.in3, carries-stop: {reference: stop}}
  turn-rh: {wire: right.in3, carries-stop: {reference: stop}}
  glow: {wire: [left.in5, right.in5]}
  ignition: {wire: [left.in6, right.in6]}
  whole: {wire: [left.in7, right.in7]}
  low: {wire: [left.in4, right.in4], active: low}
  far: {wire: third.in5}
outages:
  - check: {input: stop, on: left.11, kind: message, threshold: 60 mA, window: 150 ms, load: 150 Ω, rating: 2 W, sense: whole}
routines:
  out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard}}]}
  full: {strokes: [{hold: {on: block}}]}
  wave: {length: 1 s, strokes: [{pass: {on: block, direction: up, band: 20 mm}}]}
signals:
  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}
  - turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: out, pace: flasher}
  - stop: {input: stop, takes: block, stay: full}
shows:
  - wave: {input: glow, stay: wave, not-while: [ignition, stop], only-while: whole}
`

func TestCarIsResolved(t *testing.T) {
	k := must(t, car)
	if g := k.Guard; g.ShowsAbove != 11.8 || g.HalveAbove != 17 || g.SleepAfter != 30*units.Second || g.ShowsOffAt != 85 || g.HalveAt != 105 || g.At.Line != 16 {
		t.Errorf("guard %+v", g)
	}
	left, right := k.Modules[0], k.Modules[1]
	stop, lh, rh := k.Inputs[0], k.Inputs[1], k.Inputs[2]
	if f := left.Fed; f.Fuse != "F3" || !slices.Equal(f.Also, []*Input{stop, lh}) || f.Only != nil || !f.Said() || left.TurnFed() {
		t.Errorf("left is fed by %+v", f)
	}
	if right.SameImageAs != left || left.SameImageAs != nil || !left.Strap || !right.Strap || k.OtherHand(left) != right || k.OtherHand(right) != left {
		t.Error("the two modules are not the hands of one image")
	}
	if !left.Stream || right.Stream {
		t.Error("live mode is allowed at the wrong module")
	}
	if !lh.CarriesStop || lh.Reference != stop || len(lh.TurnAlone) != 1 || lh.TurnAlone[0].Module != left || lh.TurnAlone[0].In != 7 || rh.TurnAlone[0].In != 7 {
		t.Errorf("turn alone: LH %v, RH %v; want number 7 at both hands", lh.TurnAlone, rh.TurnAlone)
	}
	wave := k.Layers[3]
	if len(wave.NotWhile) != 2 || wave.NotWhile[0].Name != "ignition" || len(wave.OnlyWhile) != 1 || wave.OnlyWhile[0].Name != "whole" {
		t.Errorf("the show is barred by %v, and runs with %v", wave.NotWhile, wave.OnlyWhile)
	}
	if len(k.Outages) != 1 {
		t.Fatal("the outage is lost")
	}
	if o := k.Outages[0]; o.Input != stop || o.Module != left || o.Output != 10 || o.Kind != Message || o.Threshold != 0.06 ||
		o.Window != 150*units.Millisecond || o.Load != 150 || o.Rating != 2 || o.Sense.Name != "whole" {
		t.Errorf("outage %+v", o)
	}
}

func TestGuardUnlessWritten(t *testing.T) {
	if g := must(t, base).Guard; g.HalveAbove != HalveAboveUsual || g.ShowsAbove != 0 || g.SleepAfter != 0 || g.ShowsOffAt != 0 || g.HalveAt != 0 || g.At.Line != 2 {
		t.Errorf("guard %+v", g)
	}
}

// A limit of heat on a board without a sensor would never come.
func TestHeatNeedsASensor(t *testing.T) {
	found, err := board.Find("pins")
	if err != nil {
		t.Fatal(err)
	}
	found.Heat = board.HeatSense{}
	for heat, want := range map[bool]int{true: 1, false: 0} {
		b := &builder{kit: &Kit{Guard: Guard{HalveAbove: HalveAboveUsual}, Modules: []*Module{{Name: "m", Board: found}}}}
		if b.guardOnBoards(report.Place{}, heat); len(b.list) != want || want == 1 && b.list[0].ID != "guard" {
			t.Errorf("heat %v: %v", heat, b.list)
		}
	}
}

// Every line: what is changed in the job, and the one message that must come: the text that its place points at, its name, what it says,
// and its figure where there is one.
func TestCarFaults(t *testing.T) {
	const lh, rh = "turn-lh: {wire: left.in3, carries-stop: {reference: stop}}", "turn-rh: {wire: right.in3, carries-stop: {reference: stop}}"
	for _, c := range []struct{ name, old, new, at, id, says, figure string }{
		{"shows above where light is halved", "shows-above: 11.8 V", "shows-above: 17 V", "17 V", "guard", "no supply between", "17 V"},
		{"halved at a charging voltage", "shows-above: 11.8 V", "halve-above: 16.5 V", "16.5 V", "guard", "full light", "15.65 V"},
		{"halved before shows end", "halve-at: 105 °C", "halve-at: 80 °C", "85 °C", "guard", "already", "85 °C"},
		{"fuse that differs by a capital", "fuse: F4", "fuse: f3", "f3", "fed", "is called", ""},
		{"feed that nothing carries", "also: [stop, turn-lh]", "also: [stop, turn-hl]", "turn-hl", "unknown-name", "no input called", ""},
		{"feed twice", "also: [stop, turn-lh]", "also: [stop, stop]", "stop]", "name-twice", "named twice", ""},
		{"feed from another module", "also: [stop, turn-lh]", "also: [stop, turn-rh]", "turn-rh]", "fed", "no wire to that module", ""},
		{"feed from a ground switch", "wiring: {arrow: 1..6, block: 7..10}, fed: {fuse: F3, also: [stop, turn-lh]}, stream: true}", "wiring: {arrow: 1..6, block: 7..10}, fed: {fuse: F3, also: low}}", "low}}", "fed", "switched to ground", ""},
		{"fed by one wire", "fed: {fuse: F3, also: [stop, turn-lh]}", "fed: {only: glow}", "{only: glow}", "fed", "(turn-lh, stop)", ""},
		{"one hand fed by its turn", "fed: {fuse: F3, also: [stop, turn-lh]}", "fed: {only: turn-lh}", "left}", "same-image", "one is fed by its turn wire alone", ""},
		{"unknown module for an image", "same-image-as: left", "same-image-as: lfet", "lfet", "unknown-name", "no module called", ""},
		{"own image", "same-image-as: left", "same-image-as: right", "right}", "same-image", "names itself", ""},
		{"image of one that has none", "third: {board: pins, lamp: bar, wiring: {bar: 1}", "third: {board: chain-16, lamp: bar, wiring: {bar: 1}, same-image-as: right", "right}", "same-image", "none of its own", ""},
		{"image of three", "third: {board: pins, lamp: bar, wiring: {bar: 1}", "third: {board: chain-16, lamp: bar, wiring: {bar: 1}, same-image-as: left", "left}", "same-image", "an image has two hands", ""},
		{"image of a lamp in the centre", "same-image-as: left}\n  third: {board: pins, lamp: bar, wiring: {bar: 1}", "}\n  third: {board: chain-16, lamp: bar, wiring: {bar: 1}, same-image-as: left", "left}", "same-image", "sit at centre and LH", ""},
		{"other board", "right: {board: chain-16", "right: {board: chain-24", "left}", "same-image", "boards are chain-24 and chain-16", ""},
		{"no strap pin", "wiring: {bar: 1}", "wiring: {bar: 1}, strap: true", "strap: true", "strap", "no pin for a side strap", ""},
		{"strap in the centre", "third: {board: pins, lamp: bar, wiring: {bar: 1}", "third: {board: chain-8, lamp: bar, wiring: {bar: 1}, strap: true", "strap: true", "strap", "sits in the centre", ""},
		{"other outputs", "block: [9..10, 7..8]", "block: [9..10, 7, 12]", "left}", "same-image", "stop lights outputs 7, 9..10, 12 in \"right\", but 7..10 in \"left\"", ""},
		{"other pin", "turn-rh: {wire: right.in3", "turn-rh: {wire: right.in1", "left}", "same-image", "in1 carries turn-rh in \"right\", and nothing in \"left\"; in3 carries nothing", ""},
		{"other input", "whole: {wire: [left.in7, right.in7]}", "whole: {wire: [left.in7, right.in8]}", "left}", "same-image", "in7 carries nothing in \"right\", and whole", ""},
		{"other filter", "turn-rh: {wire: right.in3,", "turn-rh: {wire: right.in3, feed: {kind: flasher, bounce: 20 ms},", "left}", "same-image", "in3 needs a filter of", ""},
		{"other level", "turn-rh: {wire: right.in3,", "turn-rh: {active: low, wire: right.in3,", "left}", "same-image", "in3 is active high", ""},
		{"other wire", rh, "turn-rh: {wire: right.in3}", "left}", "same-image", "in3 carries the stop for one", ""},
		{"reference that is none", lh, "turn-lh: {wire: left.in3, carries-stop: {reference: glow}}", "glow}", "carries-stop", "no reference", ""},
		{"reference that nothing carries", lh, "turn-lh: {wire: left.in3, carries-stop: {reference: stpo}}", "stpo}", "unknown-name", "no input called", ""},
		{"reference elsewhere", lh, "turn-lh: {wire: [left.in3, third.in3], carries-stop: {reference: stop}}", "stop}", "carries-stop", "compares the two wires", ""},
		{"no number left for the turn", "far: {", "one: {wire: [left.in1, right.in1]}\n  eight: {wire: [left.in8, right.in8]}\n  far: {", "stop}", "carries-stop", "no input number left", ""},
		{"stop carried by no turn wire", "glow: {wire: [left.in5, right.in5]}", "glow: {wire: [left.in5, right.in5], carries-stop: {}}", "carries-stop: {}", "carries-stop", "no turn wire", ""},
		{"amber turn without a reference", lh, "turn-lh: {wire: left.in3, carries-stop: {}}", "carries-stop: {}", "carries-stop", "turn is amber", ""},
		{"output with a group", "on: left.11", "on: left.10", "left.10", "outage", "carries group block.4", ""},
		{"output beyond the board", "on: left.11", "on: left.17", "left.17", "outage", "beyond board", "left.17"},
		{"output of two loads", "outages:\n", "outages:\n  - first: {input: stop, on: left.11, kind: message, threshold: 60 mA, load: 150 Ω}\n", "left.11", "outage", "switches the load of \"first\"", ""},
		{"outage of an unknown module", "on: left.11", "on: lfet.11", "lfet.11", "unknown-name", "no module called", ""},
		{"outage of a wire elsewhere", "check: {input: stop", "check: {input: turn-rh", "turn-rh", "outage", "no wire to that module", ""},
		{"outage of a ground switch", "check: {input: stop", "check: {input: low", "low", "outage", "switched to ground", ""},
		{"sense that is a signal", "sense: whole", "sense: stop", "stop}", "outage", "is a road signal", ""},
		{"sense elsewhere", "sense: whole", "sense: far", "far}", "outage", "no wire to module", ""},
		{"bar that nothing carries", "not-while: [ignition, stop]", "not-while: [ignitoin, stop]", "ignitoin", "unknown-name", "no input called", ""},
		{"bar that asks for the show", "not-while: [ignition, stop]", "not-while: [ignition, glow]", "glow]", "bar", "never run", ""},
		{"bar both ways", "not-while: [ignition, stop]", "not-while: [ignition, whole]", "whole]", "bar", "never run", ""},
		{"bar twice", "not-while: [ignition, stop]", "not-while: [ignition, ignition]", "ignition]", "name-twice", "named twice", ""},
		{"bar without a wire", "not-while: [ignition, stop]", "not-while: [ignition, far]", "wave: {", "bar", "no wire to left, right", ""},
		{"barred signal", "stop: {input: stop, takes: block,", "stop: {input: stop, not-while: ignition, takes: block,", "not-while", "bar", "keep it dark", ""},
		{"signal with a condition", "stop: {input: stop, takes: block,", "stop: {input: stop, only-while: ignition, takes: block,", "only-while", "bar", "keep it dark", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(car, c.old, c.new, 1)
			if text == car {
				t.Fatalf("the job has no %q", c.old)
			}
			k, list := parse(t, text)
			var all []string
			for _, d := range list {
				if d.Severity == report.StopWork {
					all = append(all, d.Error())
				}
				if d.Next == "" {
					t.Errorf("no next step: %v", d)
				}
			}
			if k != nil || len(all) != 1 {
				t.Fatalf("want one message, got:\n%s", strings.Join(all, "\n"))
			}
			d := list[slices.IndexFunc(list, func(d report.Diagnostic) bool { return d.Severity == report.StopWork })]
			at := []rune(strings.Split(text, "\n")[d.Place.Line-1])[d.Place.Column-1:]
			if !strings.HasPrefix(string(at), c.at) || d.ID != c.id || !strings.Contains(d.Text+d.Why, c.says) || d.Figure != c.figure {
				t.Errorf("want %s at %q that says %q (figure %q), got %s at %q:\n%+v", c.id, c.at, c.says, c.figure, d.ID, string(at), d)
			}
		})
	}
}

// What only a board makes wrong: an output that switches the module's own supply draws nothing from the signal's wire.
func TestOutageNeedsALowSideBoard(t *testing.T) {
	high := strings.ReplaceAll(car, "chain-16", "chain-high-16")
	if _, list := parse(t, high); !strings.Contains(list.Error(), "cannot draw from the wire") || list.Count(report.StopWork) != 1 {
		t.Errorf("a load behind a high-side switch: %v", list)
	}
}

// A wire that carries the stop without a reference lights its lamp for both: fit for one red zone, and for nothing else.
func TestStopCarriedPlainly(t *testing.T) {
	red := strings.NewReplacer("amber-590", "red-622", "carries-stop: {reference: stop}", "carries-stop: {}",
		"turn: {zone: arrow, required: true}", "turn: {zone: block, required: true}",
		"takes: tail-lh.arrow, arrive: out, pace: flasher", "takes: tail-lh.block, stay: full",
		"takes: tail-rh.arrow, arrive: out, pace: flasher", "takes: tail-rh.block, stay: full").Replace(car)
	if k, list := parse(t, red); k == nil || !k.Inputs[1].CarriesStop || k.Inputs[1].Reference != nil || k.Inputs[1].TurnAlone != nil {
		t.Errorf("one red zone for both: %v", list)
	}
	for name, c := range map[string]struct{ old, new, says string }{
		"a zone each":       {"turn: {zone: block, required: true}", "turn: {zone: arrow, required: true}", "zones of their own"},
		"a signal each":     {"takes: block, stay: full", "takes: block.1..2, stay: full", "other groups"},
		"an amber turn too": {"takes: tail-lh.block", "takes: [tail-lh.block, tail-lh.arrow]", "amber"},
	} {
		text := strings.Replace(red, c.old, c.new, 1)
		if name == "an amber turn too" {
			text = strings.Replace(text, "group: 2, part: red-622", "group: 2, part: amber-590", 1)
		}
		if _, list := parse(t, text); !list.HasErrors() || !strings.Contains(list[0].Why, c.says) {
			t.Errorf("%s: %v", name, list)
		}
	}
}

// A module on one wire: its own signal is fed by what calls it, a show only by chance.
func TestFedByOneWire(t *testing.T) {
	text := strings.Replace(base, "left: {board: pins,", "left: {board: pins, fed: {only: turn-lh},", 1)
	text = strings.Replace(text, "- stop: {input: stop, takes: block,", "- stop: {input: stop, takes: tail-rh.block,", 1)
	k, list := parse(t, text)
	if k == nil || !k.Modules[0].TurnFed() || k.Modules[1].TurnFed() || list.Count(report.Caution) != 1 || !strings.Contains(list[0].Text, "(tide)") {
		t.Errorf("got %v", list)
	}
	carries := strings.Replace(base, "left: {board: pins,", "left: {board: pins, fed: {only: turn-lh},", 1)
	carries = strings.Replace(carries, "turn-lh: {wire: left.in3}", "turn-lh: {wire: left.in3, carries-stop: {reference: stop}}", 1)
	if k, list := parse(t, carries); k == nil {
		t.Errorf("the brake is on the turn's wire as well: %v", list)
	}
}

// The two hands of an image need the same numbers: for the turn alone, and for a stop that shares the tail's wire.
func TestHandsUseTheSameNumbers(t *testing.T) {
	text := strings.Replace(car, "stop: {wire: [left.in2, right.in2]}",
		"tail: {wire: [left.in1, right.in1], feed: {kind: dimmed, duty: 20 %, at: 200 Hz}}\n  stop: {shares: tail}", 1)
	text = strings.NewReplacer("not-while: [ignition, stop]", "not-while: ignition", "check: {input: stop", "check: {input: turn-lh", "[stop, turn", "[tail, turn", "also: stop", "also: tail").Replace(text)
	k := must(t, text)
	stop, _ := k.Input("stop")
	lh, _ := k.Input("turn-lh")
	rh, _ := k.Input("turn-rh")
	if len(stop.Pins) != 2 || stop.Pins[0].In != 7 || stop.Pins[1].In != 7 || lh.TurnAlone[0].In != rh.TurnAlone[0].In || lh.TurnAlone[0].In >= 7 {
		t.Errorf("stop on %v, the turns alone on %v and %v", stop.Pins, lh.TurnAlone, rh.TurnAlone)
	}
}

// The brake is on the turn's wire as well, but from the first flash to the last the flasher has the wire.
func TestBrakeOnTheTurnWire(t *testing.T) {
	k := must(t, car)
	presses, faults := script.Parse("s", []byte("stop@1s..6s turn-lh@2s..2.4s turn-lh@2.8s..3.2s turn-rh@8s..8.4s"), []string{"stop", "turn-lh", "turn-rh"})
	if faults.HasErrors() {
		t.Fatal(faults)
	}
	high := map[string][]units.Time{}
	for _, e := range k.Wire(presses.Timeline(0), 10*units.Second, feed.Conditions{}) {
		high[e.Input] = append(high[e.Input], e.At/units.Millisecond)
	}
	for name, want := range map[string][]units.Time{
		"stop": {1000, 6000}, "turn-lh": {1000, 2400, 2800, 6000}, "turn-rh": {1000, 6000, 8000, 8400},
	} {
		if !slices.Equal(high[name], want) {
			t.Errorf("the wire of %s changes at %v ms, want %v", name, high[name], want)
		}
	}
}
