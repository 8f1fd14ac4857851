package compile

import (
	"slices"
	"strings"
	"testing"

	"lampwright/kit"
	"lampwright/program"
)

func TestInterlockCutsTheShowAndMustBeWired(t *testing.T) {
	k, r := compiled(t, car(t))
	for i, m := range r.Modules {
		l, _ := layerOf(t, m, "tide")
		if l.NotWhile != ignitionOn || l.OnlyWhile != 0 {
			t.Errorf("%s: not while %02x, only while %02x", m.Of.Name, l.NotWhile, l.OnlyWhile)
		}
		for _, name := range []string{"tail", "stop"} {
			if l, _ := layerOf(t, m, name); l.NotWhile != 0 || l.OnlyWhile != 0 {
				t.Errorf("%s: signal %s is barred", m.Of.Name, name)
			}
		}
		e := engineOf(t, m, program.Side(1+i))
		if !shows(e, m, glowOn, 600, 7, 8, 9, 10, 11, 18) {
			t.Errorf("%s: no show", m.Of.Name)
		}
		hold(e, m, glowOn|ignitionOn, 10)
		if shows(e, m, glowOn|ignitionOn, 600, 7, 8, 9, 10, 11, 18) {
			t.Errorf("%s: the show goes on with the ignition", m.Of.Name)
		}
	}
	in, _ := k.Input("ignition")
	in.Pins = in.Pins[:1]
	_, list := Compile(k, Options{})
	if !hasID(t, list, "bar") || !strings.Contains(list.Error(), `no wire to module "right"`) {
		t.Errorf("%v", list)
	}
	_, r = compiled(t, car(t, "not-while: ignition", "only-while: [ignition, whole]"))
	if l, _ := layerOf(t, r.Modules[0], "tide"); l.NotWhile != 0 || l.OnlyWhile != ignitionOn|wholeOn {
		t.Errorf("not while %02x, only while %02x", l.NotWhile, l.OnlyWhile)
	}
}

func TestStopAndTurnOnOneWire(t *testing.T) {
	_, r := compiled(t, car(t))
	m := r.Modules[0]
	if want := (program.StopTurn{Used: true, Wire: 2, Reference: 1, Turn: 7}); m.Safe.StopTurn != [2]program.StopTurn{want} {
		t.Errorf("%+v", m.Safe.StopTurn)
	}
	l, _ := layerOf(t, m, "turn-lh")
	if l.InputMask != turnAlone || l.Pace != 0 || m.Program.PacerInput != [2]uint8{wireOn} || m.Safe.TurnA != turnAlone || m.Safe.Stop != stopOn {
		t.Errorf("layer on %02x, pacer %v, safe turn %02x, safe stop %02x", l.InputMask, m.Program.PacerInput, m.Safe.TurnA, m.Safe.Stop)
	}
	e := engineOf(t, m, program.LH)
	if s := hold(e, m, stopOn|wireOn, 100); !lit(s, 7, 8, 9, 10) || !dark(s, 1, 2, 3, 4, 5, 6) {
		t.Errorf("brake: %v", s.Levels)
	}
	hold(e, m, 0, 50)
	for range 3 {
		if s := hold(e, m, wireOn, 80); !lit(s, 1, 6) || !dark(s, 7, 8, 9, 10) {
			t.Errorf("turn: %v", s.Levels)
		}
		if s := hold(e, m, 0, 80); !dark(s, 1, 6) {
			t.Errorf("between two flashes: %v", s.Levels)
		}
	}
	safe := engineOf(t, m, program.Centre) // no strap: the safe program for ever
	hold(safe, m, 0, 20)
	if s := hold(safe, m, stopOn|wireOn, 20); s.Live || !lit(s, 7) || !dark(s, 1, 6) {
		t.Errorf("brake without a strap: live %v, %v", s.Live, s.Levels)
	}

	// Without a reference the wire is shown as it comes, and nothing is told apart.
	_, r = compiled(t, change(t, "  turn-lh: {wire: left.in3}", "  turn-lh: {wire: left.in3, carries-stop: {}}",
		"part: amber-590", "part: red-622", "{turn: {zone: arrow, required: true}, stop: {zone: block, required: true},", "{turn: {zone: arrow, required: true}, stop: {zone: arrow, required: true},",
		"takes: block, stay: full", "takes: arrow, stay: full", "hold: {on: block}", "hold: {on: arrow}"))
	if l, _ := layerOf(t, r.Modules[0], "turn-lh"); l.InputMask != wireOn || r.Modules[0].Safe.StopTurn[0].Used || !slices.Contains(r.Modules[0].Words(), "in3 lights for the stop as well, and is shown as it comes") {
		t.Errorf("%02x %v", l.InputMask, r.Modules[0].Words())
	}
}

// bar is a lamp in the centre, whose module has the wires of both sides.
const bar = `lampwright: 1
job: {title: Bar, use: show-only}
lamps:
  bar:
    place: {end: rear, side: centre, at: [0 mm, 900 mm]}
    leds: [{row: {name: bar, from: [0, 0], to: [400, 0], count: 12, group: 1, part: red-622}}]
modules: {one: {board: chain-16, lamp: bar, wiring: {bar: 1..12}}}
inputs:
  stop: {wire: one.in2}
  turn-rh: {wire: one.in1, carries-stop: {reference: stop}}
  turn-lh: {wire: one.in5, carries-stop: {reference: stop}}
  drl: {wire: one.in8}
routines:
  full: {strokes: [{hold: {on: bar}}]}
  out: {length: 150 ms, strokes: [{sweep: {on: bar, direction: left}}]}
signals:
  - turn-lh: {input: turn-lh, takes: bar.1..6, arrive: out, pace: flasher}
  - turn-rh: {input: turn-rh, takes: bar.7..12, arrive: out, pace: flasher}
  - stop: {input: stop, takes: bar, stay: full}
`

func TestAModuleTellsBothSidesApart(t *testing.T) {
	_, r := compiled(t, bar)
	m := r.Modules[0]
	if m.Safe.StopTurn != [2]program.StopTurn{{Used: true, Wire: 0, Reference: 1, Turn: 6}, {Used: true, Wire: 4, Reference: 1, Turn: 5}} {
		t.Fatalf("%+v", m.Safe.StopTurn)
	}
	e := engineOf(t, m, program.Centre)
	hold(e, m, 1<<1|1<<0|1<<4, 100)
	hold(e, m, 1<<1|1<<0, 80) // how the first flash begins tells that it is one
	for range 3 {
		hold(e, m, 1<<1|1<<0|1<<4, 80)
		s := hold(e, m, 1<<1|1<<0, 80) // the LH flasher is off, the RH wire carries the stop alone
		if !dark(s, 1, 6) || !lit(s, 7, 12) {
			t.Errorf("stop and LH turn: %v", s.Levels)
		}
	}
	k := load(t, bar)
	k.Inputs[0].Pins = append(k.Inputs[0].Pins, kit.Pin{Module: k.Modules[0], In: 3})
	turn := k.Inputs[2]
	turn.Pins = append(turn.Pins, kit.Pin{Module: k.Modules[0], In: 2})
	turn.TurnAlone = append(turn.TurnAlone, kit.Pin{Module: k.Modules[0], In: 3})
	if r, list := Compile(k, Options{}); !hasID(t, list, "carries-stop") || r.Modules[0].Image != nil {
		t.Errorf("three wires told apart: %v", list)
	}
}

// A reference that is dimmed is read so slowly that each brake would look like a flash; one that is merely tested by pulses keeps up.
func TestAReferenceKeepsUpWithItsWire(t *testing.T) {
	const plain = "stop: {wire: "
	text := car(t)
	if !strings.Contains(text, plain) {
		t.Fatal("the stop is written in another way")
	}
	with := func(feed string) string {
		before, after, _ := strings.Cut(text, plain)
		pins, rest, _ := strings.Cut(after, "\n")
		pins, _, _ = strings.Cut(pins, "}")
		pins, _, _ = strings.Cut(pins, ", feed")
		return before + plain + pins + ", feed: " + feed + "}\n" + rest
	}
	for feed, refused := range map[string]bool{
		"{kind: steady}": false, "{kind: steady, test-pulse: {width: 1 ms, every: 50 ms}}": false, "{kind: dimmed, duty: 5 %, at: 50 Hz}": true,
	} {
		k, list := kit.Parse("t.yaml", []byte(with(feed)), kit.NoFiles)
		if k == nil {
			t.Fatal(list)
		}
		_, list = Compile(k, Options{})
		if got := strings.Contains(list.Error(), "would look like a flash"); got != refused {
			t.Errorf("%s: refused %v: %v", feed, got, list)
		}
	}
}
