package compile

import (
	"bytes"
	"testing"

	"lampwright/program"
)

// car is the base job with the words of a real car. Vehicle and numbers are invented.
func car(t interface{ Fatalf(string, ...any) }, pairs ...string) string {
	return change(t, append([]string{
		"modules:\n", "guard: {shows-above: 11.8 V, halve-above: 17 V, sleep-after: 30 s, shows-off-at: 85 °C, halve-at: 105 °C}\nmodules:\n",
		"link: leader, wiring:", "link: leader, fed: {fuse: F1, also: [stop, turn-lh, tail]}, wiring:",
		"link: follower, wiring: {arrow: 6..1, block: [9..10, 7..8], edge: 24..17}", "link: follower, fed: {fuse: F2, also: [stop, turn-rh, tail]}, same-image-as: left, stream: true, wiring: {arrow: 6..1, block: [9..10, 7..8], edge: 18..11}",
		"  turn-lh: {wire: left.in3}", "  turn-lh: {wire: left.in3, carries-stop: {reference: stop}}",
		"  turn-rh: {wire: right.in3}", "  turn-rh: {wire: right.in3, carries-stop: {reference: stop}}\n  ignition: {wire: [left.in7, right.in7]}\n  whole: {wire: [left.in6, right.in6]}",
		"routines:\n", `outages:
  - look-lh: {input: stop, on: left.24, kind: message, threshold: 100 mA, window: 150 ms, load: 110 ohm}
  - look-rh: {input: stop, on: right.24, kind: message, threshold: 100 mA, window: 150 ms, load: 110 ohm}
  - pace-lh: {input: turn-lh, on: left.23, kind: flash-rate, threshold: 100 mA, load: 110 ohm, sense: whole}
  - pace-rh: {input: turn-rh, on: right.23, kind: flash-rate, threshold: 100 mA, load: 110 ohm, sense: whole}
routines:
`,
		"stay: tide, limit: 1 min", "stay: tide, limit: 1 min, not-while: ignition",
	}, pairs...)...)
}

// engineOf starts a module in the plug of its side, and lets the check of its image end.
func engineOf(t *testing.T, m *Module, strap program.Side) *program.Engine {
	t.Helper()
	safe, err := program.EncodeSafe(m.Safe)
	if err != nil {
		t.Fatal(err)
	}
	e := program.NewEngine(program.Powering{SafeA: safe[:], SafeB: safe[:], Image: m.Image, Strap: strap})
	e.Frames(len(m.Image)/256+4, m.Safe.Invert, true)
	return e
}

// hold runs an engine with inputs held for so many frames; in is by number, whatever the active level.
func hold(e *program.Engine, m *Module, in uint8, frames int) program.Shown {
	e.Frames(frames, in^m.Safe.Invert, true)
	return e.Shown()
}

func lit(s program.Shown, outputs ...int) bool {
	for _, o := range outputs {
		if s.Levels[o-1] == 0 && s.Force[(o-1)/8]>>((o-1)%8)&1 == 0 {
			return false
		}
	}
	return true
}

// shows tells whether any of the outputs is lit within so many frames.
func shows(e *program.Engine, m *Module, in uint8, frames int, outputs ...int) bool {
	any := false
	for range frames {
		any = !dark(hold(e, m, in, 1), outputs...) || any
	}
	return any
}

func dark(s program.Shown, outputs ...int) bool {
	for _, o := range outputs {
		if lit(s, o) {
			return false
		}
	}
	return true
}

// Input masks of the car.
const (
	tailOn, stopOn, wireOn, glowOn, wholeOn, ignitionOn, turnAlone = 1 << 0, 1 << 1, 1 << 2, 1 << 4, 1 << 5, 1 << 6, 1 << 7
)

func TestTheWordsGiveTheSameBytesTwice(t *testing.T) {
	for _, text := range []string{car(t), bar} {
		_, first := compiled(t, text)
		_, second := compiled(t, text)
		for i, m := range first.Modules {
			if other := second.Modules[i]; !bytes.Equal(m.Image, other.Image) || *m.Safe != *other.Safe || m.Listing() != other.Listing() {
				t.Errorf("module %s differs between two runs", m.Of.Name)
			}
			if m.Program.ImageBytes() != len(m.Image) && m.Twin == nil {
				t.Errorf("module %s: %d bytes foreseen, %d made", m.Of.Name, m.Program.ImageBytes(), len(m.Image))
			}
		}
	}
}

func TestListingOfTheCarIsAsRead(t *testing.T) {
	_, r := compiled(t, car(t))
	golden(t, "testdata/car.listing.txt", r.Modules[1].Listing())
}
