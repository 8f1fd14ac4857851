package session

import (
	"strings"
	"testing"
)

const looseJob = `lampwright: 1
job: {title: Small lamp, use: show-only}
parts:
  deep-red: {colour: red}
  amber-590: {colour: amber}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [70, 0], count: 8, group: 1, part: red-622}
      - row: {name: low, from: [0, 10], to: [30, 10], count: 4, group: 1, part: deep-red}
      - led: {name: dot, at: [0, 20], part: amber-590}
    paths:
      hook: {through: [[0, 0], [70, 0]]}
    zones:
      most: [bar, low]
      half: {with: most, without: low}
  mate:
    opposite-hand-of: lamp
  nose:
    place: {end: front, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - row: {name: low, from: [0, 10], to: [30, 10], count: 4, group: 1, part: red-622}
modules:
  m: {board: chain-16, lamp: lamp, wiring: {bar: 1..8, low: 9..12, dot: 13}}
  n: {board: chain-16, lamp: mate, wiring: {bar: 8..1}}
  front: {board: chain-8, lamp: nose, wiring: {low: 1..4}}
inputs:
  stop: {wire: [m.in2, n.in2], feed: {kind: steady}}
  tail: {wire: m.in1}
routines:
  full: {strokes: [{hold: {on: bar, light: 100 %}}]}
  dim: {strokes: [{hold: {on: [low, dot], light: 10 %}}]}
  run: {length: 1 s, strokes: [{sweep: {on: most, along: hook, for: 1 s}}, {call: {routine: dim}}]}
signals:
  - stop: {input: stop, takes: [lamp.bar, mate.bar.1..4], stay: full}
  - tail: {input: tail, takes: [lamp.low, lamp.half, lamp], stay: dim, arrive: run}
`

// What a step takes away is told wherever it is still named, all at once, and nothing else is.
func TestLooseEndsAreTold(t *testing.T) {
	for name, c := range map[string]struct{ command, args, want string }{
		"a pattern":                             {"erase", `{"paths":[["lamps","lamp","leds","0"]]}`, "bar: routine full, hold, on\nbar: signal stop, takes\nbar: signal stop, takes"},
		"a pattern that another lamp has too":   {"erase", `{"paths":[["lamps","lamp","leds","1"]]}`, "low: signal tail, takes"},
		"a pattern as a value":                  {"remove", `{"path":["lamps","lamp","leds","0"]}`, "bar: lamp lamp, zone most\nbar: module m, wiring, bar\nbar: module n, wiring, bar\nbar: routine full, hold, on\nbar: signal stop, takes\nbar: signal stop, takes"},
		"a single LED":                          {"erase", `{"paths":[["lamps","lamp","leds","2"]]}`, "dot: routine dim, hold, on"},
		"a zone":                                {"remove", `{"path":["lamps","lamp","zones","most"]}`, "most: lamp lamp, zone half, with\nmost: routine run, sweep, on"},
		"a light path":                          {"erase", `{"paths":[["lamps","lamp","paths","hook"]]}`, "hook: routine run, sweep, along"},
		"a routine":                             {"remove", `{"path":["routines","dim"]}`, "dim: routine run, call, routine\ndim: signal tail, stay"},
		"an input":                              {"remove", `{"path":["inputs","tail"]}`, "tail: signal tail, input"},
		"a module":                              {"remove", `{"path":["modules","m"]}`, "m: input stop, wire\nm: input tail, wire"},
		"a lamp":                                {"remove", `{"path":["lamps","mate"]}`, "mate: module n, lamp\nmate: signal stop, takes"},
		"a lamp that another is drawn on":       {"remove", `{"path":["lamps","lamp"]}`, "lamp: lamp mate, opposite-hand-of\nlamp: module m, lamp\nbar: routine full, hold, on\ndot: routine dim, hold, on\nmost: routine run, sweep, on\nhook: routine run, sweep, along\nlamp: signal stop, takes\nlamp: signal tail, takes\nlamp: signal tail, takes\nlamp: signal tail, takes"},
		"a part":                                {"remove", `{"path":["parts","deep-red"]}`, "deep-red: lamp lamp, leds, row, part"},
		"a part that the catalogue has":         {"remove", `{"path":["parts","amber-590"]}`, ""},
		"a stroke":                              {"remove", `{"path":["routines","run","strokes","0"]}`, ""},
		"a new name, which is written anywhere": {"rename", `{"kind":"zone","from":"bar","to":"beam"}`, ""},
		"a value":                               {"set", `{"path":["routines","full","strokes","0","hold","on"],"value":"none"}`, ""},
	} {
		t.Run(name, func(t *testing.T) {
			d, path := opened(t, looseJob, Options{})
			if d.State().Kit == nil {
				t.Fatal(d.State().Problems)
			}
			before := d.State().File
			must(t, do(d, c.command, c.args))
			var got []string
			for _, l := range LooseEnds(before, d.State().File) {
				got = append(got, l.Name+": "+l.Says)
				if _, there := at(d.State().File.Tree(), l.Path); !there {
					t.Errorf("nothing is at %v", l.Path)
				}
			}
			if strings.Join(got, "\n") != c.want {
				t.Errorf("told are\n%s\nnot\n%s", strings.Join(got, "\n"), c.want)
			}
			undone(t, d, path, looseJob)
		})
	}
}

// An output of LEDs that are gone means nothing: it leaves the wiring maps of both hands, also when the erasing leaves a zone with
// nothing in it, or the job was broken already.
func TestErasedLEDsLeaveTheWiring(t *testing.T) {
	for name, text := range map[string]string{
		"whole":          strings.Replace(looseJob, "      half: {with: most, without: low}\n", "", 1),
		"a zone empties": looseJob,
		"broken before":  strings.Replace(looseJob, "half: {with: most", "half: {with: none", 1),
	} {
		d, path := opened(t, text, Options{})
		must(t, do(d, "erase", `{"paths":[["lamps","lamp","leds","0"]]}`))
		t.Log(name)
		says(t, d.State().Text, "  m: {board: chain-16, lamp: lamp, wiring: {low: 9..12, dot: 13}}\n", "  n: {board: chain-16, lamp: mate, wiring: {}}\n", "front: {board: chain-8, lamp: nose, wiring: {low: 1..4}}", "on: bar")
		undone(t, d, path, text)
	}
}
