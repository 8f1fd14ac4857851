package rules

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"lampwright/board"
	"lampwright/kit"
	"lampwright/report"
)

// car is a road job with the car's words against which nothing can be said; tests change a piece of it.
const car = `lampwright: 1
job: {title: car, use: road-us}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds:
      - row: {name: arrow, from: [0, 0], to: [110, 0], count: 12, group: 2, part: amber-590}
      - row: {name: block, from: [0, 30], to: [110, 30], count: 12, group: 3, part: red-622}
    functions: {stop: {zone: block, required: true}, turn: {zone: arrow, required: true}, tail: {zone: block, required: true}}
  tail-rh: {opposite-hand-of: tail-lh}
modules:
  left: {board: chain-16, lamp: tail-lh, wiring: {arrow: 1..6, block: 7..10}, link: leader, fed: {fuse: F3, also: [stop, turn-lh, tail]}}
  right: {board: chain-16, lamp: tail-rh, wiring: {arrow: 6..1, block: 7..10}, link: follower, fed: {fuse: F4, also: [stop, turn-rh, tail]}}
guard: {sleep-after: 30 s}
inputs:
  tail: {wire: [left.in1, right.in1]}
  stop: {wire: [left.in2, right.in2]}
  turn-lh: {wire: left.in3, carries-stop: {reference: stop}}
  turn-rh: {wire: right.in3, carries-stop: {reference: stop}}
  glow: {wire: [left.in5, right.in5]}
  ignition: {wire: [left.in6, right.in6]}
outages:
  - check: {input: stop, on: left.12, kind: message, threshold: 60 mA, window: 150 ms, load: 150 Ω, rating: 1 W}
routines:
  out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard}}]}
  full: {strokes: [{hold: {on: block}}]}
  dim: {strokes: [{hold: {on: block, light: 20 %}}]}
  wave: {length: 1 s, strokes: [{pass: {on: block, direction: up, band: 20 mm}}]}
signals:
  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}
  - turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: out, pace: flasher}
  - stop: {input: stop, takes: block, stay: full}
  - tail: {input: tail, takes: block, stay: dim}
shows:
  - wave: {input: glow, stay: wave, not-while: ignition}
`

func TestNothingAgainstTheCar(t *testing.T) {
	if list := findingsOf(t, car); len(list) > 0 {
		t.Errorf("found %v", list)
	}
}

func findingsOf(t *testing.T, text string) report.List {
	t.Helper()
	k, list := kit.Parse("car.yaml", []byte(text), kit.NoFiles)
	if k == nil {
		t.Fatal(list)
	}
	return Check(k)
}

// Every line: pairs of old and new text, and the findings that must come of it, as ID, severity and figure.
func TestCarFindings(t *testing.T) {
	const left, right = "fed: {fuse: F3, also: [stop, turn-lh, tail]}", "fed: {fuse: F4, also: [stop, turn-rh, tail]}"
	for name, c := range map[string]struct {
		change []string
		want   []string
	}{
		"show without a bar":           {[]string{", not-while: ignition", ""}, []string{"show-unbarred caution no bar"}},
		"show with another bar":        {[]string{"not-while", "only-while"}, nil},
		"show off the road":            {[]string{", not-while: ignition", "", "road-us", "show-only"}, nil},
		"feed not said":                {[]string{", " + left, "", ", " + right, ""}, []string{"feed-unsaid note 2 modules without fed:"}},
		"one side not said":            {[]string{", " + left, ""}, []string{"feed-unsaid note 1 module without fed:"}},
		"one fuse a side":              {[]string{left, "fed: {fuse: F3}"}, []string{"feed-one-fuse caution 1 feed"}},
		"one fuse for both":            {[]string{left, "fed: {fuse: F3}", right, "fed: {fuse: F3}"}, []string{"feed-both-sides stop-work 1 fuse, F3"}},
		"one fuse off the road":        {[]string{left, "fed: {fuse: F3}", right, "fed: {fuse: F3}", "road-us", "show-only"}, []string{"feed-both-sides caution 1 fuse, F3"}},
		"one fuse, signals feed":       {[]string{"F4", "F3"}, nil},
		"one fuse, but one side feeds": {[]string{left, "fed: {fuse: F3}", "F4", "F3"}, []string{"feed-one-fuse caution 1 feed"}},
		"one fuse, tail forgotten": {[]string{left, "fed: {fuse: F3, also: [stop, turn-lh]}", right, "fed: {fuse: F3, also: [stop, turn-rh]}"},
			[]string{"feed-both-sides stop-work 1 fuse, F3"}},
		"the turn's wire brings the stop": {[]string{"[stop, turn-lh, tail]", "[turn-lh, tail]"}, nil},
		"never asleep":                    {[]string{"{sleep-after: 30 s}", "{note: none}"}, []string{"key-off-drain caution 29.31 mA, no start after 44 days"}},
		"never asleep, two low inputs":    {[]string{"{sleep-after: 30 s}", "{note: none}", "glow: {wire", "glow: {active: low, wire"}, []string{"key-off-drain caution 30.05 mA, no start after 43 days"}},
		"never asleep, no battery":        {[]string{"{sleep-after: 30 s}", "{note: none}", ", " + left, "", ", " + right, ""}, []string{"feed-unsaid note 2 modules without fed:"}},
		"dead on the link":                {[]string{right, "fed: {only: turn-rh}", "takes: block, stay: dim", "takes: tail-lh.block, stay: dim", "not-while: ignition", "not-while: ignition, takes: tail-lh.block", "use: road-us", "use: show-only"}, []string{"link-dead caution 0.10 mA a module", "unserved caution 4 of 4 groups dark"}},
		"halved too late":                 {[]string{"sleep-after: 30 s", "sleep-after: 30 s, halve-above: 23.5 V"}, []string{"jump-start caution 24.52 V"}},
		"halved in the heat":              {[]string{"sleep-after: 30 s", "sleep-after: 30 s, halve-at: 105 °C"}, []string{"heat-halves note 50 % of the light"}},
		"load too small":                  {[]string{"threshold: 60 mA", "threshold: 80 mA"}, []string{"outage-little caution 76 mA"}},
		"load too small, wire shut off":   {[]string{"kind: message, threshold: 60 mA", "kind: shut-off, threshold: 80 mA"}, []string{"outage-little stop-work 76 mA"}},
		"load too large":                  {[]string{"load: 150 Ω, rating: 1 W", "load: 100 Ω, rating: 2 W"}, []string{"outage-output caution 168 mA"}},
		"load too hot":                    {[]string{"window: 150 ms, ", ""}, []string{"outage-hot caution 1.80 W"}},
		"load of no rating":               {[]string{", rating: 1 W", ""}, []string{"outage-rating note 0.54 W"}},
		"load of a turn":                  {[]string{"input: stop, on", "input: turn-lh, on", "window: 150 ms, load: 150 Ω, rating: 1 W", "load: 150 Ω, rating: 3 W"}, []string{"outage-hides note no sense"}},
		"load of a turn with a sense":     {[]string{"input: stop, on", "input: turn-lh, on", "window: 150 ms, load: 150 Ω, rating: 1 W", "load: 150 Ω, rating: 3 W, sense: ignition"}, nil},
		"flash that is too late":          {[]string{"{wire: left.in3,", "{wire: left.in3, feed: {kind: flasher, bounce: 20 ms},"}, []string{"turn-late note 92 ms"}},
	} {
		t.Run(name, func(t *testing.T) {
			text := car
			for i := 0; i < len(c.change); i += 2 {
				if !strings.Contains(text, c.change[i]) {
					t.Fatalf("the job has no %q", c.change[i])
				}
				text = strings.Replace(text, c.change[i], c.change[i+1], 1)
			}
			var got []string
			for _, d := range findingsOf(t, text) {
				got = append(got, fmt.Sprintf("%s %s %s", d.ID, d.Severity, d.Figure))
				if d.Why == "" || d.Next == "" || d.Source == "" || d.Limit == "" || d.Place.Line == 0 {
					t.Errorf("%s lacks why, remedy, source, limit or place: %+v", d.ID, d)
				}
			}
			slices.Sort(got)
			if !slices.Equal(got, c.want) {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// A wire that carries the stop untold: what would sweep for the turn sweeps for the brake, and that is judged as a stop.
func TestStopCarriedUntold(t *testing.T) {
	text := strings.NewReplacer("amber-590", "red-622", "carries-stop: {reference: stop}", "carries-stop: {}",
		"turn: {zone: arrow, required: true}", "turn: {zone: block, required: true}",
		"takes: tail-lh.arrow, arrive: out, pace: flasher", "takes: tail-lh.block, stay: full",
		"takes: tail-rh.arrow, arrive: out, pace: flasher", "takes: tail-rh.block, stay: full",
		"  - stop: {input: stop, takes: block, stay: full}\n", "").Replace(car)
	if got, want := ids(findingsOf(t, text)), []string{"stop-reference", "stop-reference"}; !slices.Equal(got, want) {
		t.Errorf("one red zone: found %v, want %v", got, want)
	}
	text = strings.Replace(text, "takes: tail-lh.block, stay: full", "takes: tail-lh.block, arrive: grow, stay: full", 1)
	text = strings.Replace(text, "  full:", "  grow: {length: 150 ms, strokes: [{sweep: {on: block, direction: outboard}}]}\n  full:", 1)
	if got, want := ids(findingsOf(t, text)), []string{"stop-arrive", "stop-reference", "stop-reference"}; !slices.Equal(got, want) {
		t.Errorf("a sweep on it: found %v, want %v", got, want)
	}
}

// Many large boards are above what add-on modules may take, even asleep: 5 mA. By hand: 1.09 mA each, 130 minutes of reserve.
func TestDrainAsleep(t *testing.T) {
	b, err := board.Find("chain-64")
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[int]string{4: "", 5: "5.45 mA, no start after 239 days"} {
		k := &kit.Kit{Guard: kit.Guard{SleepAfter: 1}}
		for range n {
			k.Modules = append(k.Modules, &kit.Module{Board: b, Fed: kit.Fed{Fuse: "F1"}})
		}
		got := ""
		for _, d := range drain(k) {
			got = d.Figure
		}
		if got != want {
			t.Errorf("%d modules: %q, want %q", n, got, want)
		}
	}
	if got := noStart(50e-3); got < 25.9 || got > 26.1 { // worked example of the bulletin's rule: 50 mA, 26 days
		t.Errorf("50 mA: %g days", got)
	}
}
