package rules

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"lampwright/kit"
	"lampwright/report"
)

// job is a stop lamp with a stop signal; use, functions and signal are filled in.
const job = `lampwright: 1
job: {title: rules, use: %s}
lamps:
  tail:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds:
      - row: {name: block, from: [0, 0], to: [110, 0], count: 12, group: 2, part: red-622}
    functions: {stop: {zone: block, required: %v}}
modules:
  tail: {board: pins, lamp: tail, wiring: {block: 1..6}, fed: {only: stop}}
inputs:
  stop: {wire: tail.in2}
routines:
  full: {strokes: [{hold: {light: 100 %%}}]}
  half: {strokes: [{hold: {light: 50 %%}}]}
  grow: {length: 300 ms, strokes: [{sweep: {direction: outboard, for: 300 ms}}]}
  fall: {length: 300 ms, strokes: [{fade-down: {from: 100 %%}}]}
signals:
  - stop: {input: stop, takes: block, %s}
`

func findings(t *testing.T, use string, required bool, signal string) report.List {
	t.Helper()
	k, list := kit.Parse("rules.yaml", []byte(fmt.Sprintf(job, use, required, signal)), kit.NoFiles)
	if k == nil {
		t.Fatal(list)
	}
	return Check(k)
}

func ids(list report.List) []string {
	var all []string
	for _, d := range list {
		all = append(all, d.ID)
	}
	slices.Sort(all)
	return all
}

// FMVSS 108 Table I-a; NHTSA letters 3157o (sequential high-mounted stop), aiam4006 (pulsing, then steady), reed.ztv (run-on); UN R48 6.7.7.
func TestRequiredStopIsNotAnimatedOnTheRoad(t *testing.T) {
	for _, c := range []struct {
		signal string
		want   []string
	}{
		{"stay: full", nil},
		{"arrive: grow, stay: full", []string{"stop-arrive"}},
		{"stay: full, leave: fall", []string{"stop-leave"}},
		{"stay: full, keeps: 500 ms", []string{"stop-keeps"}},
		{"stay: grow", []string{"stop-moves", "stop-part-light"}},
		{"arrive: grow", []string{"stop-arrive"}},
		{"arrive: grow, stay: full, leave: fall", []string{"stop-arrive", "stop-leave"}},
		{"stay: half", []string{"stop-part-light"}},
	} {
		for _, use := range []string{"road-us", "road-un"} {
			list := findings(t, use, true, c.signal)
			if got := ids(list); !slices.Equal(got, c.want) {
				t.Errorf("%s, %s: findings %v, want %v", use, c.signal, got, c.want)
			}
			for _, d := range list {
				if d.ID == "stop-part-light" {
					continue
				}
				if d.Severity != report.StopWork {
					t.Errorf("%s, %s: %s weighs %s, want stop-work", use, c.signal, d.ID, d.Severity)
				}
				if d.Why == "" || d.Next == "" || d.Source == "" || d.Place.Line == 0 {
					t.Errorf("%s lacks why, remedy, source or place: %+v", d.ID, d)
				}
			}
			for _, d := range findings(t, use, false, c.signal) {
				if strings.HasPrefix(d.ID, "stop-") && d.Severity == report.StopWork {
					t.Errorf("%s, extra lamp, %s: %s stops work, want a caution", use, c.signal, d.ID)
				}
			}
		}
		for _, d := range findings(t, "show-only", true, c.signal) {
			if d.ID != "stop-part-light" {
				t.Errorf("show-only, %s: finding %s, want none", c.signal, d.ID)
			}
		}
	}
}

func TestRequiredFunctionWithoutSignal(t *testing.T) {
	text := strings.Replace(fmt.Sprintf(job, "road-us", true, "stay: full"), "takes: block", "takes: block.1..4", 1)
	k, list := kit.Parse("rules.yaml", []byte(text), kit.NoFiles)
	if k == nil {
		t.Fatal(list)
	}
	got := Check(k)
	if len(got) != 1 || got[0].ID != "unserved" || got[0].Severity != report.StopWork || got[0].Figure != "2 of 6 groups dark" {
		t.Fatalf("two groups of a required stop lamp are lit by nothing: got %v", got)
	}
}

// A signal that takes the groups of a required lamp and leaves them dark does not serve it.
func TestRequiredFunctionLeftDark(t *testing.T) {
	const dark = "  dark: {strokes: [{hold: {on: block.1..2, light: 100 %}}]}\n  late: {length: 400 ms, strokes: [{fade-up: {start: 200 ms, for: 200 ms, light: 100 %}}]}\nsignals:"
	for _, c := range []struct {
		signal string
		figure string // "": served
	}{
		{"stay: full", ""}, {"stay: half", ""}, {"arrive: late", ""}, {"arrive: late, stay: dark", ""},
		{"stay: dark", "4 of 6 groups dark"}, {"stay: dark, leave: full", "4 of 6 groups dark"},
	} {
		text := strings.Replace(fmt.Sprintf(job, "road-us", true, c.signal), "signals:", dark, 1)
		k, list := kit.Parse("rules.yaml", []byte(text), kit.NoFiles)
		if k == nil {
			t.Fatal(list)
		}
		figure := ""
		for _, d := range Check(k) {
			if d.ID == "unserved" {
				figure = d.Figure
				if d.Severity != report.StopWork {
					t.Errorf("%s: %s weighs %s, want stop-work", c.signal, d.ID, d.Severity)
				}
			}
		}
		if figure != c.figure {
			t.Errorf("%s: %q, want %q", c.signal, figure, c.figure)
		}
	}
}

// A wire that floats high when off is found, with the pull-down that mends it; with that pull-down fitted there is no finding.
func TestFloatingWireGetsAPullDown(t *testing.T) {
	for pull, want := range map[string]bool{"": true, ", pull-down: 2.2 kΩ": false} {
		text := strings.Replace(fmt.Sprintf(job, "road-us", true, "stay: full"), "stop: {wire: tail.in2}",
			"stop: {wire: tail.in2, feed: {kind: steady, leak: {volts: 9 V, through: 22 kΩ}"+pull+"}}", 1)
		k, list := kit.Parse("rules.yaml", []byte(text), kit.NoFiles)
		if k == nil {
			t.Fatal(list)
		}
		found := false
		for _, d := range Check(k) {
			found = found || d.Severity != report.Note && strings.Contains(d.Next, "Ω") && d.Place.Line > 0 && d.Source != ""
		}
		if found != want {
			t.Errorf("pull-down %q: found %v, want %v: %v", pull, found, want, Check(k))
		}
	}
}
