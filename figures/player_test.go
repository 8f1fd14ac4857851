package figures

import (
	"slices"
	"strings"
	"testing"

	"lampwright/car"
	"lampwright/compile"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/lamp"
	"lampwright/script"
	"lampwright/units"
)

// rowJob is a lamp of five groups, four of them wired crosswise, that a stop wire lights wholly. GUARD, LOW and FED are filled in.
const rowJob = `lampwright: 1
job: {title: Row, use: show-only}
GUARD
lamps:
  row:
    place: {end: rear, side: centre, at: [0 mm, 900 mm]}
    outline: [[0, 0], [50, 0], [50, 20], [0, 20]]
    leds:
      - row: {name: a, from: [5, 10], to: [15, 10], count: 2, group: 1, part: red-622}
      - row: {name: b, from: [25, 10], to: [26, 10], count: 2, group: 2, part: red-622}
      - row: {name: c, from: [35, 10], to: [45, 10], count: 2, group: 1, part: red-622}
    functions: {stop: {zone: a, required: false}}
  other:
    place: {end: rear, side: centre, at: [0 mm, 600 mm]}
    outline: [[0, 0], [50, 0], [50, 20], [0, 20]]
    leds:
      - row: {name: g, from: [5, 10], to: [45, 10], count: 5, group: 1, part: red-622}
modules:
  m: {board: chain-8, lamp: row, wiring: {a: 4..3, c: 2..1}FED}
inputs:
  stop: {wire: m.in1LOW}
  night: {wire: m.in2}
routines:
  full: {strokes: [{hold: {on: [a, c], light: 100 %}}]}
  half: {strokes: [{hold: {on: [a, c], light: 50 %}}]}
signals:
  - stop: {input: stop, takes: [row.a, row.c], stay: full}
shows:
  - night: {input: night, takes: [row.a, row.c], stay: half, limit: 1 h}
`

// player plays a script on the row, with words filled into the job.
func player(t *testing.T, text string, fill ...string) (*Player, []*lamp.Lamp) {
	t.Helper()
	for _, hole := range []string{"GUARD", "LOW", "FED"} {
		if !slices.Contains(fill, hole) {
			fill = append(fill, hole, "")
		}
	}
	k, list := kit.Parse("row.yaml", []byte(strings.NewReplacer(fill...).Replace(rowJob)), kit.NoFiles)
	if k == nil || list.HasErrors() {
		t.Fatal(list)
	}
	r, list := compile.Compile(k, compile.Options{})
	if list.HasErrors() {
		t.Fatal(list)
	}
	shipped, err := car.Units(r)
	if err != nil {
		t.Fatal(err)
	}
	presses, faults := script.ParseIn("x", []byte(text), car.Names(k))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	p := NewPlayer(k, shipped, presses.Timeline(0), 20*units.Second, feed.Conditions{Supply: 13.5})
	return p, []*lamp.Lamp{k.Lamps[1].Lamp, k.Lamps[0].Lamp}
}

func TestPlayerLightsWhatIsPressed(t *testing.T) {
	all, none := []units.Share{1, 1, 0, 1, 1}, []units.Share{0, 0, 0, 0, 0}
	for _, low := range []string{"", ", active: low"} {
		p, lamps := player(t, "stop@100ms..200ms", "LOW", low)
		for _, c := range []struct {
			at   units.Time
			want []units.Share
		}{
			{99 * units.Millisecond, none},
			{105 * units.Millisecond, all}, // filter included: the player shows the override, not the frame alone
			{200 * units.Millisecond, all},
			{230 * units.Millisecond, none},
		} {
			p.To(c.at)
			f := p.Frame(lamps)
			if f.At != c.at || !slices.Equal(f.Light[1], c.want) || !slices.Equal(f.Light[0], none) {
				t.Errorf("%q, at %v: %v", low, f.At, f.Light)
			}
			if slices.Contains(f.Pressed, "stop") != (c.at >= 100*units.Millisecond && c.at < 200*units.Millisecond) {
				t.Errorf("at %v pressed: %v", c.at, f.Pressed)
			}
		}
	}
}

// What the script says of the car is seen: light is halved at too much supply, gone without one, and the line below tells why.
func TestPlayerShowsTheSupply(t *testing.T) {
	for _, c := range []struct {
		script string
		at     units.Time
		want   units.Share // of the group on output 1
		status string
	}{
		{"stop@0s..4s", 2 * units.Second, 1, "   2.000 s   on: stop"},
		{"supply=24V@1s..3s stop@0s..4s", 2 * units.Second, 1023. / 2047, "   2.000 s   on: stop   supply=24V   m halved"},
		{"supply=24V@1s..3s stop@0s..5s", 4 * units.Second, 1, "   4.000 s   on: stop"},
		{"supply=0V@1s..3s stop@0s..4s", 2 * units.Second, 0, "   2.000 s   on: stop   supply=0V   m off"},
		{"battery:F1=gone@1s..3s stop@0s..4s", 2 * units.Second, 0, "   2.000 s   on: stop   battery:F1=gone   m off"},
		{"battery:F1=gone@1s..3s stop@0s..5s", 4 * units.Second, 1, "   4.000 s   on: stop"},
		// A show ends below 11.8 V, and must be asked for anew.
		{"supply=10V@1s..3s night@0s..5s", 2 * units.Second, 0, "   2.000 s   on: night   supply=10V"},
		{"supply=10V@1s..3s night@0s..5s", 4 * units.Second, 0, "   4.000 s   on: night"},
		{"supply=10V@1s..3s night@0s..3500ms night@4s..6s", 5 * units.Second, 0.5, "   5.000 s   on: night"},
	} {
		p, lamps := player(t, c.script, "GUARD", "guard: {shows-above: 11.8 V}", "FED", ", fed: {fuse: F1}")
		p.To(c.at)
		f := p.Frame(lamps)
		if got := f.Light[1][4]; got < c.want-0.01 || got > c.want+0.01 {
			t.Errorf("%s, at %v: light %v, want %v", c.script, c.at, got, c.want)
		}
		if got := Status(f); got != c.status {
			t.Errorf("%s: %q, want %q", c.script, got, c.status)
		}
	}
}

// Inputs pressed by hand act as those of a script do.
func TestPlayerIsPressed(t *testing.T) {
	p, lamps := player(t, "")
	light := func(at units.Time) units.Share {
		p.To(at)
		return p.Frame(lamps).Light[1][4]
	}
	if light(units.Second) != 0 {
		t.Error("lit before it was asked")
	}
	p.Hold(car.Hands{Inputs: map[string]bool{"stop": true}, Supply: 13.5, Heat: car.RoomDegrees})
	if light(1050*units.Millisecond) != 1 {
		t.Error("dark when pressed")
	}
	p.Hold(car.Hands{Supply: 13.5, Heat: car.RoomDegrees})
	if light(1100*units.Millisecond) != 0 {
		t.Error("lit when let go")
	}
}
