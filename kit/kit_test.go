package kit

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lampwright/feed"
	"lampwright/job"
	"lampwright/lamp"
	"lampwright/report"
	"lampwright/script"
	"lampwright/units"
)

// base is a small job that is right; tests change a piece of it.
const base = `lampwright: 1
job: {title: kit, use: show-only}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds:
      - row: {name: arrow, from: [0, 0], to: [110, 0], count: 12, group: 2, part: amber-590}
      - row: {name: block, from: [0, 30], to: [110, 30], count: 12, group: 3, part: red-622}
    paths: {rise: {through: [[0, 0], [0, 30]]}}
    functions: {stop: {zone: block, required: true}}
  tail-rh: {opposite-hand-of: tail-lh}
modules:
  left: {board: pins, lamp: tail-lh, wiring: {arrow: 1..6, block: 7..10}}
  right: {board: pins, lamp: tail-rh, wiring: {arrow: 6..1, block: [9..10, 7..8]}}
inputs:
  stop: {wire: [left.in2, right.in2]}
  turn-lh: {wire: left.in3}
  turn-rh: {wire: right.in3}
  glow: {wire: [left.in5, right.in5], active: low}
routines:
  out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard}}]}
  full: {strokes: [{hold: {on: block}}]}
  tide: {length: 2 s, across: [tail-lh, tail-rh], strokes: [{pass: {direction: right, band: 60 mm}}, {call: {routine: out, start: 1 s}}]}
signals:
  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}
  - turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: out, pace: flasher}
  - stop: {input: stop, takes: block, stay: full}
shows:
  - tide: {input: glow, stay: tide}
`

func parse(t *testing.T, text string) (*Kit, report.List) {
	t.Helper()
	return Parse("kit.yaml", []byte(text), NoFiles)
}

func must(t *testing.T, text string) *Kit {
	t.Helper()
	k, list := parse(t, text)
	if k == nil {
		t.Fatal(list)
	}
	return k
}

func TestBaseIsResolved(t *testing.T) {
	k := must(t, base)
	rh, _ := k.Module("right")
	if got, want := rh.Output, []int{5, 4, 3, 2, 1, 0, 8, 9, 6, 7}; !slices.Equal(got, want) {
		t.Errorf("outputs of the RH groups: %v, want %v", got, want)
	}
	lamp, _ := k.Lamp("tail-rh")
	if lamp.OppositeOf != "tail-lh" || lamp.Place.At.X != 700 || lamp.Functions[0].Name != "stop" {
		t.Errorf("the opposite hand is %+v at %v with %v", lamp.OppositeOf, lamp.Place, lamp.Functions)
	}
	glow, _ := k.Input("glow")
	if glow.Road != "" || !glow.ActiveLow || rh.InputPins(glow) != 1<<4 {
		t.Errorf("the remote input: road %q, low %v, pins %08b", glow.Road, glow.ActiveLow, rh.InputPins(glow))
	}
	tide := k.Layers[3]
	if !tide.Show || len(tide.Takes) != 2 || len(tide.Takes[0].Groups) != 10 {
		t.Errorf("the show takes %v, want both lamps wholly", tide.Takes)
	}
	if r, _ := k.Routine("full"); r.On(lamp) == nil || r.On(k.Lamps[0]) == r.On(lamp) {
		t.Error("a routine for one lamp at a time is bound to each lamp by itself")
	}
	if r, _ := k.Routine("tide"); r.On(lamp) == nil || r.On(k.Lamps[0]) != r.On(lamp) {
		t.Error("a routine across lamps is bound once for all of them")
	}
}

// An opposite hand's light is the reflection of the lamp's: here for a sweep to outboard, LED by LED, bit for bit.
func TestOppositeHandIsReflected(t *testing.T) {
	k := must(t, base)
	r, _ := k.Routine("out")
	a, b := r.On(k.Lamps[0]), r.On(k.Lamps[1])
	for ms := 0.0; ms <= 150; ms += 4 {
		for led := range a.Stage.Len() {
			if x, y := a.Light.At(led, ms), b.Light.At(led, ms); x != y {
				t.Fatalf("LED %d at %g ms: %g on LH, %g on RH", led, ms, x, y)
			}
		}
	}
}

// Every line: what is changed in the base job, and the finding that must come, with the line that it points at and a next step.
func TestFaultsAreTold(t *testing.T) {
	for _, c := range []struct{ name, old, new, id, says string }{
		{"unknown lamp", "lamp: tail-rh,", "lamp: tail-hr,", "unknown-name", "no lamp called"},
		{"unknown board", "left: {board: pins", "left: {board: pns", "unknown-name", "no board called"},
		{"unknown part", "group: 3, part: red-622", "group: 3, part: red-623", "unknown-name", "no LED part"},
		{"unknown input", "input: glow", "input: glo", "unknown-name", "no input called"},
		{"unknown routine", "stay: full", "stay: fll", "unknown-name", "no routine called"},
		{"unknown zone", "takes: block", "takes: blok", "unknown-name", "no zone called"},
		{"unknown zone in a routine", "hold: {on: block}", "hold: {on: blok}", "pick", "no zone"},
		{"part of a zone that is not there", "takes: block", "takes: block.9", "pick", "which has 4 groups"},
		{"unknown path", "direction: outboard", "along: ris", "light-path", "path"},
		{"unknown pin", "left.in5", "left.in9", "unknown-name", "has no input"},
		{"unknown module", "left.in5", "lft.in5", "unknown-name", "no module called"},
		{"part group", "count: 12, group: 3", "count: 12, group: 5", "part-group", "cannot be cut"},
		{"spacing with a rest", "from: [0, 30], to: [110, 30], count: 12", "from: [0, 30], to: [110, 30], spacing: 12 mm", "pattern", "does not divide"},
		{"slanted row", "to: [110, 30]", "to: [110, 31]", "pattern", "keeps its y"},
		{"wiring count", "block: 7..10", "block: 7..11", "wiring", "these are 5 outputs"},
		{"output beyond the board", "block: 7..10", "block: 10..13", "wiring", "beyond board"},
		{"output given twice", "block: 7..10", "block: 6..9", "wiring", "is given to"},
		{"pin given twice", "turn-lh: {wire: left.in3}", "turn-lh: {wire: left.in2}", "input", "is given to"},
		{"a show outranking signals", "- stop: {input: stop,", "- stop: {input: glow,", "show-as-signal", "never outrank"},
		{"a signal as a show", "- tide: {input: glow,", "- tide: {input: stop,", "signal-as-show", "comes after every signal"},
		{"pace without flasher", "stop: {input: stop, takes: block, stay: full}", "stop: {input: stop, takes: block, arrive: full, pace: flasher}", "pace", "does not flash"},
		{"pace without arrive", "takes: tail-lh.arrow, arrive: out, pace", "takes: tail-lh.arrow, stay: out, pace", "pace", "no arrive"},
		{"sharing what cannot be told apart", "stop: {wire: [left.in2, right.in2]}", "stop: {shares: turn-lh}", "shares", "cannot share"},
		{"sharing no input", "stop: {wire: [left.in2, right.in2]}", "stop: {shares: tial}", "unknown-name", "no input called"},
		{"sharing a wire that is not dimmed", "stop: {wire: [left.in2, right.in2]}", "tail: {wire: [left.in1, right.in1]}\n  stop: {shares: tail}", "feed-share", "nothing tells"},
		{"wire and share", "stop: {wire: [left.in2, right.in2]}", "stop: {wire: [left.in2, right.in2], shares: glow}", "excluded-key", "both"},
		{"no wire to the module", "wire: [left.in5, right.in5]", "wire: [left.in5]", "input", "has no wire to its module"},
		{"calls in a circle", "out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard}}]}", "out: {length: 150 ms, strokes: [{call: {routine: out}}]}", "call", "out calls out"},
		{"no length", "out: {length: 150 ms,", "out: {", "missing-key", "how long"},
		{"opposite of an opposite", "tail-rh: {opposite-hand-of: tail-lh}", "tail-rh: {opposite-hand-of: tail-lh}\n  third: {opposite-hand-of: tail-rh}", "opposite-hand", "itself an opposite"},
		{"two leaders", "lamp: tail-lh,", "lamp: tail-lh, link: follower,", "link", "none leads"},
		{"lamp with two modules", "lamp: tail-rh,", "lamp: tail-lh,", "module", "already has the module"},
		{"name twice", "- tide: {input: glow", "- stop: {input: glow", "name-twice", "another signal or show"},
		{"missing table", "- row: {name: block, from: [0, 30], to: [110, 30], count: 12, group: 3, part: red-622}", "- list: {name: block, file: leds.csv, group: 3, part: red-622}", "table", "no file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if !strings.Contains(base, c.old) {
				t.Fatalf("the base job has no %q", c.old)
			}
			k, list := parse(t, strings.Replace(base, c.old, c.new, 1))
			if k != nil {
				t.Fatal("the fault was not found")
			}
			for _, d := range list {
				if d.ID == c.id && strings.Contains(d.Text+d.Why, c.says) {
					if d.Place.Line == 0 || d.Next == "" {
						t.Errorf("no place or no next step: %+v", d)
					}
					return
				}
			}
			t.Errorf("no finding %q that says %q, but:\n%v", c.id, c.says, list)
		})
	}
}

// One mistake makes one message, at its own place: what only follows from it is not told again.
func TestOneMistakeOneMessage(t *testing.T) {
	for _, c := range []struct{ name, old, new, place, says string }{
		{"part group", "count: 12, group: 3", "count: 12, group: 5", "kit.yaml:8:76", "cannot be cut"},
		{"lamp of an opposite hand", "opposite-hand-of: tail-lh", "opposite-hand-of: tail-hl", "kit.yaml:11:31", "no lamp called"},
		{"lamp of a module", "lamp: tail-rh,", "lamp: tail-hr,", "kit.yaml:14:30", "no lamp called"},
		{"two patterns of one name", "name: block, from", "name: arrow, from", "kit.yaml:8:21", `two patterns called "arrow"`},
		{"an LED that is called like a pattern", "paths: {", "  - led: {name: arrow, at: [60, 60], part: red-622}\n    paths: {", "kit.yaml:9:21", `two patterns called "arrow"`},
		{"two LEDs of one name", "paths: {", "  - led: {name: eye, at: [60, 60], part: red-622}\n      - led: {name: eye, at: [70, 60], part: red-622}\n    paths: {", "kit.yaml:10:21", `two LEDs called "eye"`},
		{"a zone that is called like a pattern", "paths: {", "zones: {arrow: [block]}\n    paths: {", "kit.yaml:9:13", `a pattern called "arrow"`},
		{"calls in a circle", "  full: {strokes: [{hold: {on: block}}]}", "  full: {strokes: [{call: {routine: half}}]}\n  half: {strokes: [{call: {routine: full}}]}", "kit.yaml:22:37", "full calls half calls full"},
		{"crossing outline", "leds:", "outline: [[0, 0], [110, 40], [110, 0], [0, 40]]\n    leds:", "kit.yaml:6:5", "crosses itself"},
		{"lamp on the other side", "at: [-700 mm", "at: [700 mm", "kit.yaml:5:34", "right of the driver's middle"},
		{"missing table", "- row: {name: block, from: [0, 30], to: [110, 30], count: 12, group: 3, part: red-622}", "- list: {name: block, file: leds.csv, group: 3, part: red-622}", "kit.yaml:8:35", "no file"},
		{"output used twice", "block: 7..10", "block: [6, 8..10]", "kit.yaml:13:67", "is given to"},
	} {
		t.Run(c.name, func(t *testing.T) {
			k, list := parse(t, strings.Replace(base, c.old, c.new, 1))
			var all []string
			for _, d := range list {
				if d.ID == "unknown-name" || d.ID == "name-twice" || d.Severity == report.StopWork {
					all = append(all, d.Error())
				}
				if d.Next == "" {
					t.Errorf("no next step: %v", d)
				}
			}
			if k != nil || len(all) == 0 || !strings.HasPrefix(all[0], c.place+": error: ") || !strings.Contains(all[0], c.says) || len(all) > 1 {
				t.Errorf("want one message at %s that says %q, got:\n%s", c.place, c.says, strings.Join(all, "\n"))
			}
		})
	}
}

func TestRoutineAcrossOtherLamps(t *testing.T) {
	text := strings.Replace(base, "across: [tail-lh, tail-rh]", "across: [tail-lh]", 1)
	text = strings.Replace(text, "- tide: {input: glow, stay: tide}", "- tide: {input: glow, takes: arrow, stay: tide}", 1)
	_, list := parse(t, text)
	if !strings.Contains(list.Error(), "does not run across it") {
		t.Errorf("a show that takes a lamp its routine does not reach: %v", list)
	}
}

// Every lamp kind of the trade has a job in the examples; all of them resolve without a word.
func TestExamplesResolve(t *testing.T) {
	files, err := filepath.Glob("../examples/*/*.yaml")
	if err != nil || len(files) < 9 {
		t.Fatalf("found %d example jobs, want at least 9 (%v)", len(files), err)
	}
	for _, f := range files {
		k, _, list := Load(f)
		if k == nil || len(list) > 0 {
			t.Errorf("%s: %v", f, list)
			continue
		}
		for _, l := range k.Lamps {
			if len(l.LEDs) == 0 || len(l.Groups) == 0 {
				t.Errorf("%s: lamp %s is empty", f, l.Name)
			}
		}
	}
	k, _, _ := Load("../examples/lamps/panel.yaml")
	if p := k.Lamps[0]; len(p.LEDs) != 200 || len(p.Groups) != 48 {
		t.Errorf("the panel has %d LEDs in %d groups, want 200 in 48", len(p.LEDs), len(p.Groups))
	}
	k, _, _ = Load("../examples/lamps/ring.yaml")
	if m := k.Modules[0]; m.Output[0] != 1 || m.Output[11] != 0 {
		t.Errorf("the ring soldered one position round: outputs %v", m.Output)
	}
	k, _, _ = Load("../examples/pickup/pickup.yaml")
	if len(k.Modules) != 5 || k.Lamps[0].Place.Side != lamp.LH {
		t.Errorf("the pickup has %d modules", len(k.Modules))
	}
}

// Stop as the full light of the tail wire: it takes an input number of its own in every module, and its presses are on the tail's wire.
func TestStopSharesTheTailWire(t *testing.T) {
	k := must(t, strings.Replace(base, "stop: {wire: [left.in2, right.in2]}",
		"tail: {wire: [left.in1, right.in1], feed: {kind: dimmed, duty: 20 %, at: 200 Hz}}\n  stop: {shares: tail}", 1))
	stop, _ := k.Input("stop")
	tail, _ := k.Input("tail")
	if stop.Shares != tail || len(stop.Pins) != 2 || k.Modules[0].InputPins(stop) != 1<<7 || k.Modules[0].InputPins(tail) != 1 {
		t.Errorf("stop on pins %v", stop.Pins)
	}
	presses, faults := script.Parse("s", []byte("tail@0s..1s stop@500ms..600ms"), []string{"tail", "stop"})
	if faults.HasErrors() {
		t.Fatal(faults)
	}
	high, since, solid := false, units.Time(0), units.Time(0)
	for _, e := range k.Wire(presses.Timeline(0), 2*units.Second, feed.Conditions{}) {
		if e.Input != "tail" {
			t.Fatalf("an event on the wire of %s, which has none", e.Input)
		}
		if high && !e.On {
			solid = max(solid, e.At-since)
		}
		high, since = e.On, e.At
	}
	if solid < 100*units.Millisecond || solid > 107*units.Millisecond {
		t.Errorf("the wire is high for %v in one piece, want the 100 ms of the stop and at most a pulse more", solid)
	}
}

// by: group reaches a whole group at once; by: led, the default, reaches LED after LED.
func TestStrokesByGroup(t *testing.T) {
	for by, want := range map[string]int{"": 2, ", by: led": 2, ", by: group": 1} {
		k := must(t, strings.Replace(base, "direction: outboard}", "direction: outboard"+by+"}", 1))
		r, _ := k.Routine("out")
		b := r.On(k.Lamps[0])
		leds := b.GroupLEDs(k.Lamps[0], []int{2})
		lights := map[float64]bool{}
		for ms := 0.0; ms <= 150; ms++ {
			if v := b.Light.GroupLight(leds, ms); v > 0 {
				lights[v] = true
			}
		}
		if len(lights) != want {
			t.Errorf("%q: the group of two LEDs lights in %d steps, want %d", by, len(lights), want)
		}
	}
}

func TestTableFaults(t *testing.T) {
	for text, want := range map[string]string{
		"":                           "leds.csv:1",
		"id,x\na,1\n":                "leds.csv:1",
		"id,x,y\na,1\n":              "leds.csv:2",
		"id,x,y\na,1,one\n":          "leds.csv:2",
		"id,x,y\na,1,1\na,2,2\n":     "leds.csv:3",
		"id,x,y\n":                   "leds.csv:2",
		"id,x,y\n\"a,1,1\n":          "leds.csv:2",
		"id,x,y\na,1e9,1\nb,NaN,1\n": "leds.csv:2",
		"id,x,y\na,1,1\n,2,2\n":      "leds.csv:3",
	} {
		at, faults := ParseTable("leds.csv", []byte(text))
		if len(faults) == 0 || !strings.HasPrefix(faults[0].Error(), want) {
			t.Errorf("%q: %v, want a fault at %s (%v)", text, faults, want, at)
		}
	}
	at, faults := ParseTable("leds.csv", []byte("\ufeffy, x, id\n2, 1.5, a\n"))
	if len(faults) > 0 || len(at) != 1 || at[0] != (lamp.Point{X: 1.5, Y: 2}) {
		t.Errorf("columns in another order: %v %v", at, faults)
	}
}

// A table outside the job's folder is not read, whatever the path.
func TestTablesStayBesideTheJob(t *testing.T) {
	dir := t.TempDir()
	inner := filepath.Join(dir, "job")
	if err := os.Mkdir(inner, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "leds.csv"), []byte("id,x,y\na,0,0\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"../leds.csv", filepath.Join(dir, "leds.csv")} {
		text := strings.Replace(base, "- row: {name: block, from: [0, 30], to: [110, 30], count: 12, group: 3, part: red-622}",
			fmt.Sprintf("- list: {name: block, file: %q, group: each, part: red-622}", name), 1)
		file := filepath.Join(inner, "kit.yaml")
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if k, _, list := Load(file); k != nil || !strings.Contains(list.Error(), "cannot be read") {
			t.Errorf("%s was read from outside the folder: %v", name, list)
		}
	}
}

func FuzzParseTable(f *testing.F) {
	f.Add("id,x,y\na,1,2\n")
	f.Add("id,x,y\n\"a\",1,2\n\"b")
	f.Fuzz(func(t *testing.T, text string) {
		at, faults := ParseTable("leds.csv", []byte(text))
		if len(at) == 0 && len(faults) == 0 {
			t.Error("neither LEDs nor a fault")
		}
	})
}

// Whatever a document says, building a kit from it ends in a kit or in errors with places, never in a panic.
func FuzzBuild(f *testing.F) {
	files, _ := filepath.Glob("../examples/*/*.yaml")
	if len(files) == 0 {
		f.Fatal("no example jobs to start from")
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	f.Add(base)
	f.Add(car)
	f.Fuzz(func(t *testing.T, text string) {
		k, list := Parse("kit.yaml", []byte(text), NoFiles)
		if (k == nil) != list.HasErrors() {
			t.Errorf("kit %v, list %v", k != nil, list)
		}
		if doc, faults := job.Parse("kit.yaml", []byte(text)); !faults.HasErrors() {
			Resolve(doc, NoFiles) // broken or not, it can be looked at
		}
	})
}

// What a builder wants dark is said by none, once for each group or once for all; what was forgotten is told.
func TestDarkOnPurpose(t *testing.T) {
	for _, c := range []struct {
		wiring string
		next   string // of the caution, or "" for none
	}{
		{"arrow: 1..6, block: none", ""},
		{"arrow: 1..6, block: [none, none, none, none]", ""},
		{"arrow: 1..6, block: [7..9, none]", ""},
		{"arrow: 1..6", "name their outputs under wiring:, or write block: none there if they are to stay dark"},
	} {
		text := strings.Replace(base, "arrow: 1..6, block: 7..10", c.wiring, 1)
		k, list := parse(t, text)
		if k == nil {
			t.Fatalf("%s: %v", c.wiring, list)
		}
		next := ""
		for _, d := range list {
			if d.ID == "loose-group" {
				next += d.Next
			}
		}
		if next != c.next {
			t.Errorf("%s: next is %q", c.wiring, next)
		}
	}
}

// An input that is called as people call it is told of, also where another input's name is no slip of it.
func TestOtherWordsForRoadInputs(t *testing.T) {
	for name, road := range map[string]string{
		"brake": "stop", "brakes": "stop", "brake-light": "stop", "brake-lights": "stop", "left-blinker": "turn-lh", "indicator-right": "turn-rh", "rh-turn": "turn-rh",
		"parking-light": "tail", "backup": "reverse", "rear-fog": "fog", "glow": "", "stop": "", "turn-lh": "", "display": "",
	} {
		if got := job.RoadMeant(name); got != road {
			t.Errorf("%s means %q", name, got)
		}
	}
	_, list := parse(t, strings.Replace(base, "input: stop", "input: brake", 1))
	if len(list) == 0 || list[len(list)-1].Suggestion != "stop" {
		t.Errorf("brake: %v", list)
	}
}
