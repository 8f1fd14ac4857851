package session

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"lampwright/report"
)

// do does a command on the latest revision.
func do(d *Desk, name, args string) report.List {
	return d.Do(d.State().Revision, name, json.RawMessage(args))
}

// says holds a text to parts that must be in it, and those with a ! before them to be away.
func says(t *testing.T, text string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if away, is := strings.CutPrefix(p, "!"); is == strings.Contains(text, strings.TrimPrefix(p, "!")) {
			t.Errorf("%q (away: %v) in\n%s", strings.TrimPrefix(p, "!"), is && away != "", text)
		}
	}
}

// refusals holds commands to be refused with a reason and a next step, and to change nothing.
func refusals(t *testing.T, text string, cases [][3]string) {
	t.Helper()
	d, path := opened(t, text, Options{})
	for _, c := range cases {
		list := do(d, c[0], c[1])
		if !list.HasErrors() || !strings.Contains(list.Error(), c[2]) {
			t.Errorf("%s %s: %v", c[0], c[1], list)
		} else if list[0].Next == "" && list[0].Expected == "" {
			t.Errorf("%s %s: no next step", c[0], c[1])
		}
	}
	if onDisk(t, path) != text {
		t.Error("what was refused changed something")
	}
}

// undone holds the last step to be one.
func undone(t *testing.T, d *Desk, path, text string) {
	t.Helper()
	must(t, d.Undo(d.State().Revision))
	if onDisk(t, path) != text {
		t.Errorf("it cannot be taken back in one step:\n%s", onDisk(t, path))
	}
}

func TestALampIsBegun(t *testing.T) {
	d, path := opened(t, oneSide, Options{})
	must(t, do(d, "lamp", `{"name":"bar","end":"rear","side":"centre","kind":"tailgate bar"}`))
	says(t, d.State().Text, "  bar:\n    kind: tailgate bar\n    place: {end: rear, side: centre, at: [0 mm, 900 mm]}\nmodules:")
	if _, known := d.State().Seen.Lamp("bar"); !known {
		t.Error("a lamp without LEDs is not seen")
	}
	must(t, do(d, "leds", `{"lamp":"bar","word":"spot","part":"red-622","points":[[10,0],[0,0.2],[0,20.004],[10,20]]}`))
	says(t, d.State().Text, "    leds:\n      - led: {name: spot-1, at: [0, 20], part: red-622}\n      - led: {name: spot-2, at: [10, 20], part: red-622}\n      - led: {name: spot-3, at: [0, 0.2], part: red-622}\n      - led: {name: spot-4, at: [10, 0], part: red-622}\nmodules:")
	must(t, do(d, "drive", `{"lamp":"bar","module":"gate"}`))
	says(t, d.State().Text, "  gate: {board: chain-8, lamp: bar, wiring: {}, link: follower}\n")
	if d.State().Kit == nil {
		t.Errorf("%v", d.State().Problems)
	}
	must(t, do(d, "fill", `{"module":"gate"}`))
	for range 3 {
		must(t, d.Undo(d.State().Revision))
	}
	undone(t, d, path, oneSide)

	d, _ = opened(t, plain, Options{})
	must(t, do(d, "drive", `{"lamp":"lamp","module":"m","board":"chain-16"}`))
	says(t, d.State().Text, "modules:\n  m: {board: chain-16, lamp: lamp, wiring: {}}\n")

	refusals(t, oneSide, [][3]string{
		{"lamp", `{"name":"tail-lh","end":"rear","side":"LH"}`, "already"},
		{"lamp", `{"name":"Tail","end":"rear","side":"LH"}`, "cannot be a name"},
		{"lamp", `{"name":"bar","end":"roof","side":"LH"}`, "where the lamp sits"},
		{"lamp", `{"name":"bar","end":"rear"}`, "where the lamp sits"},
		{"lamp", `{"name":"bar","end":"rear","side":"LH","at":["1 mm"]}`, "an x and a y"},
		{"lamp", `{"name":"bar","end":"rear","side":"LH","at":["-1 mm","far"]}`, "far"},
		{"lamp", `{"name":"bar","end":"rear","side":"LH","at":["5 mm","900 mm"]}`, "right of the driver"},
		{"drive", `{"lamp":"bar","module":"m"}`, "no lamp"},
		{"drive", `{"lamp":"tail-lh","module":"rear-lh"}`, "already"},
		{"drive", `{"lamp":"tail-lh","module":"m"}`, "the module \"rear-lh\" already"},
		{"drive", `{"lamp":"tail-lh","module":"M"}`, "cannot be a name"},
	})
	refusals(t, plain, [][3]string{{"drive", `{"lamp":"lamp","module":"m","board":"chain-7"}`, "no board"}})
}

func TestSingleLEDs(t *testing.T) {
	d, _ := opened(t, oneSide, Options{})
	must(t, do(d, "leds", `{"lamp":"tail-lh","word":"block","part":"red-622","points":[[1,1],[5,1]],"group":"arrow"}`))
	says(t, d.State().Text, "- led: {name: block-1, at: [1, 1], part: red-622, group: arrow-2}", "- led: {name: block-2, at: [5, 1], part: red-622, group: arrow-2}", "# sweeps")
	must(t, do(d, "leds", `{"lamp":"tail-lh","word":"block","part":"red-622","points":[[9,1]]}`))
	says(t, d.State().Text, "- led: {name: block-3, at: [9, 1], part: red-622}\n")
	many := strings.TrimSuffix(strings.Repeat("[1,1],", 499), ",")
	refusals(t, oneSide, [][3]string{
		{"leds", `{"lamp":"nose","word":"a","part":"red-622","points":[[1,1]]}`, "no lamp"},
		{"leds", `{"lamp":"tail-lh","word":"","part":"red-622","points":[[1,1]]}`, "cannot be a name"},
		{"leds", `{"lamp":"tail-lh","word":"a","part":"","points":[[1,1]]}`, "needs a part"},
		{"leds", `{"lamp":"tail-lh","word":"a","part":"red-622","points":[]}`, "no point"},
		{"leds", `{"lamp":"tail-lh","word":"a","part":"red-622","points":[[1,6000]]}`, "far outside"},
		{"leds", `{"lamp":"tail-lh","word":"a","part":"red-622","points":[` + many + `]}`, "may have 500"},
	})
}

func TestPatternsArePutIntoALamp(t *testing.T) {
	d, path := opened(t, oneSide, Options{})
	text := "- row: {name: arrow, from: [10, 10], to: [80, 10], count: 8, group: 1, part: amber-590}   # sweeps\n" +
		"- led: {name: a-1, at: [1/2 in, 3], part: red-622, group: block}\n- led: {name: a-2, at: [4, 3], part: red-622, group: block}\n"
	must(t, do(d, "put", fmt.Sprintf(`{"lamp":"tail-lh","text":%q,"by":[5,-5]}`, text)))
	says(t, d.State().Text, "      - row: {name: arrow-2, from: [15, 5], to: [85, 5], count: 8, group: 1, part: amber-590}\n",
		"      - led: {name: a-1, at: [17.7, -2], part: red-622, group: block-2}\n      - led: {name: a-2, at: [9, -2], part: red-622, group: block-2}\n")
	if d.State().Kit == nil {
		t.Errorf("%v", d.State().Problems)
	}
	undone(t, d, path, oneSide)
	must(t, do(d, "put", `{"lamp":"tail-lh","text":"leds:\r\n  - ring:\r\n      name: eye\r\n      centre: [0, 0]\r\n      radius: 20 mm\r\n      count: 6\r\n      group: all\r\n      part: red-622\r\n"}`))
	says(t, d.State().Text, "- ring: {name: eye, centre: [0, 0], radius: 20 mm, count: 6, group: all, part: red-622}")
	refusals(t, oneSide, [][3]string{
		{"put", `{"lamp":"nose","text":"- led: {}"}`, "no lamp"},
		{"put", `{"lamp":"tail-lh","text":" "}`, "nothing to put in"},
		{"put", `{"lamp":"tail-lh","text":"hello there"}`, "hello there"},
		{"put", `{"lamp":"tail-lh","text":"- [1, {"}`, "no list of patterns"},
		{"put", `{"lamp":"tail-lh","text":"- led: {name: a, at: [1, 2]}"}`, "part"},
		{"put", `{"lamp":"tail-lh","text":"- blob: {name: a}"}`, "blob"},
		{"put", `{"lamp":"tail-lh","text":"- led: {name: a, at: [1, 2], part: red-622}\nmodules: {}"}`, "modules"},
	})
}

// LEDs bring the parts that the job has not: none twice, none that means something else there, and none that they do not use.
func TestPatternsBringTheirPartsAlong(t *testing.T) {
	const text = "parts:\n  deep-red: {colour: red, note: of the tail bar}\n  idle: {colour: blue}\nleds:\n- led: {name: x, at: [4, 3], part: deep-red}\n- led: {name: y, at: [8, 3], part: deep-red}\n- led: {name: z, at: [9, 3], part: red-622}\n"
	put := fmt.Sprintf(`{"lamp":"lamp","text":%q}`, text)
	uses := func(part string) string { return "at: [4, 3], part: " + part + "}\n" }
	for name, c := range map[string]struct {
		before string // parts of the job
		says   []string
	}{
		"none":      {"", []string{"\nparts:\n  deep-red: {colour: red, note: of the tail bar}\n", uses("deep-red"), "at: [8, 3], part: deep-red}", "!idle", "!deep-red-2"}},
		"another":   {"parts:\n  clear: {colour: white}\n", []string{"\nparts:\n  clear: {colour: white}\n  deep-red: {colour: red, note: of the tail bar}\nlamps:", uses("deep-red")}},
		"the same":  {"parts: {deep-red: {note: of the tail bar, colour: red}}\n", []string{"parts: {deep-red: {note: of the tail bar, colour: red}}\n", uses("deep-red"), "!deep-red-2"}},
		"different": {"parts:\n  deep-red: {colour: amber}\n", []string{"  deep-red: {colour: amber}\n  deep-red-2: {colour: red, note: of the tail bar}\n", uses("deep-red-2"), "at: [8, 3], part: deep-red-2}"}},
		"empty":     {"parts: {}\n", []string{"parts: {deep-red: {colour: red, note: of the tail bar}}\n", uses("deep-red")}},
	} {
		before := strings.Replace(plain, "lamps:", c.before+"lamps:", 1)
		d, path := opened(t, before, Options{})
		must(t, do(d, "put", put))
		t.Log(name)
		says(t, d.State().Text, c.says...)
		if d.State().Seen == nil {
			t.Errorf("%s: %v", name, d.State().Problems)
		}
		once := d.State().Text
		must(t, do(d, "put", put)) // what came in before is known again
		if had, has := strings.Count(once, "{colour: "), strings.Count(d.State().Text, "{colour: "); had != has {
			t.Errorf("%s: %d parts became %d:\n%s", name, had, has, d.State().Text)
		}
		must(t, d.Undo(d.State().Revision))
		undone(t, d, path, before)
	}

	d, _ := opened(t, plain, Options{}) // a name of the catalogue keeps its meaning for the LEDs that are there
	must(t, do(d, "put", `{"lamp":"lamp","text":"leds:\n- led: {name: x, at: [4, 3], part: red-622}\nparts: {red-622: {colour: amber}}"}`))
	says(t, d.State().Text, "parts:\n  red-622-2: {colour: amber}\n", uses("red-622-2"))
	must(t, do(d, "put", `{"lamp":"lamp","text":"parts: {clear-2: {colour: white}} # as a hand may write it\nleds: [led: {name: x, at: [4, 3], part: clear-2}]"}`))
	says(t, d.State().Text, "clear-2: {colour: white}", uses("clear-2"))
	must(t, d.Undo(d.State().Revision))
	must(t, do(d, "put", `{"lamp":"lamp","text":"parts:\n  amber-590: {colour: amber}\nleds:\n- led: {name: x, at: [4, 3], part: amber-590}"}`))
	says(t, d.State().Text, uses("amber-590"), "!amber-590:", "!amber-590-2")
	refusals(t, plain, [][3]string{
		{"put", `{"lamp":"lamp","text":"parts:\n  deep-red: {colour: mauve}\nleds:\n- led: {name: x, at: [4, 3], part: deep-red}"}`, "mauve"},
		{"put", `{"lamp":"lamp","text":"parts:\n  deep-red: {colour: red}\n"}`, "leds"},
	})
	// what stands under parts: without meaning anything there is not written over
	odd := strings.Replace(plain, "lamps:", "parts: [mine]\nlamps:", 1)
	d, path := opened(t, odd, Options{})
	if list := do(d, "put", `{"lamp":"lamp","text":"parts: {clear: {colour: white}}\nleds: [led: {name: x, at: [4, 3], part: clear}]"}`); !list.HasErrors() || onDisk(t, path) != odd {
		t.Errorf("%v\n%s", list, onDisk(t, path))
	}
}

func TestAPatternChangesAndTheWiringKeepsToIt(t *testing.T) {
	d, path := opened(t, oneSide, Options{})
	must(t, do(d, "pattern", `{"lamp":"tail-lh","index":1,"values":{"columns":"6","to":["90","50"]}}`))
	says(t, d.State().Text, "from: [1/2 in, 20 mm], to: [90, 50], columns: 6, rows: 2", "wiring: {arrow: 8..1, block: [9..10, none]}")
	must(t, do(d, "pattern", `{"lamp":"tail-lh","index":0,"values":{"group":"4","count":null,"spacing":"10 mm"}}`))
	says(t, d.State().Text, "to: [80, 10], group: 4, part: amber-590, spacing: 10 mm}   # sweeps", "wiring: {arrow: 8..7, block: [9..10, none]}", "!count: 8")
	if d.State().Kit == nil {
		t.Errorf("%v", d.State().Problems)
	}
	must(t, d.Undo(d.State().Revision))
	undone(t, d, path, oneSide)
	refusals(t, oneSide, [][3]string{
		{"pattern", `{"lamp":"tail-lh","index":2,"values":{"group":"4"}}`, "no pattern 3"},
		{"pattern", `{"lamp":"nose","index":0,"values":{"group":"4"}}`, "no lamp"},
		{"pattern", `{"lamp":"tail-lh","index":0,"values":{}}`, "nothing is to be changed"},
		{"pattern", `{"lamp":"tail-lh","index":0,"values":{"name":"x"}}`, "more than one place"},
		{"pattern", `{"lamp":"tail-lh","index":0,"values":{"group":"3"}}`, "groups of 3"},
		{"pattern", `{"lamp":"tail-lh","index":0,"values":{"count":"many"}}`, "many"},
		{"pattern", `{"lamp":"tail-lh","index":0,"values":{"part":"red-6222"}}`, "red-6222"},
	})
}

// A pattern that is broken already may be mended step by step.
func TestABrokenPatternCanBeMended(t *testing.T) {
	d, _ := opened(t, strings.Replace(oneSide, "columns: 4, rows: 2, group: 2 columns", "columns: 5, rows: 2, group: 2 columns", 1), Options{})
	must(t, do(d, "pattern", `{"lamp":"tail-lh","index":1,"values":{"columns":"7"}}`))
	says(t, d.State().Text, "columns: 7", "wiring: {arrow: 8..1, block: 9..10}")
	must(t, do(d, "pattern", `{"lamp":"tail-lh","index":1,"values":{"columns":"4"}}`))
	if d.State().Kit == nil {
		t.Errorf("%v", d.State().Problems)
	}
}

func TestErasedLEDsLeaveZonesFunctionsAndWiring(t *testing.T) {
	text := strings.Replace(oneSide, "    functions:", "    zones:\n      low: [arrow.1..4, block]\n      lower: low\n      lit: {with: [arrow, block], without: arrow.1}\n    functions:", 1)
	text = strings.Replace(text, "outline:", "photo: {file: tail.png}\n    paths: {hook: {through: [[0, 0], [9, 9]]}}\n    outline:", 1)
	d, path := opened(t, text, Options{})
	must(t, do(d, "erase", `{"paths":[["lamps","tail-lh","leds","0"]]}`))
	says(t, d.State().Text, "!row:", "low: block", "lower: low", "lit: {with: block}", "!turn: {zone", "stop: {zone: block, required: true}", "wiring: {block: 9..10}", "takes: tail-lh.arrow")
	undone(t, d, path, text)
	must(t, do(d, "erase", `{"paths":[["lamps","tail-lh","leds","0"],["lamps","tail-lh","leds","1"],["lamps","tail-lh","outline"],["lamps","tail-lh","photo"],["lamps","tail-lh","paths","hook"]]}`))
	says(t, d.State().Text, "!leds", "!outline", "!paths", "!photo", "!lower", "!zone", "!functions", "wiring: {}")
	must(t, do(d, "leds", `{"lamp":"tail-lh","word":"a","part":"red-622","points":[[1,1]]}`))
	must(t, do(d, "fill", `{"module":"rear-lh"}`))
	says(t, d.State().Text, "wiring: {a-1: 1}")
	must(t, d.Undo(d.State().Revision))
	must(t, d.Undo(d.State().Revision))
	undone(t, d, path, text)
	refusals(t, oneSide, [][3]string{
		{"erase", `{"paths":[]}`, "nothing is to be erased"},
		{"erase", `{"paths":[["lamps","tail-lh","leds","7"]]}`, "nothing at"},
		{"erase", `{"paths":[["lamps","tail-lh","functions"]]}`, "no part of a drawing"},
	})
}

const singles = `lampwright: 1
job: {title: Singles, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - led: {name: a, at: [0, 0], part: red-622}    # top
      - led: {name: b, at: [10, 0], part: red-622}
      - led: {name: c, at: [20, 0], part: red-622, group: pair}
      - led: {name: d, at: [30, 0], part: amber-590}
      - led: {name: e, at: [40, 0], part: red-622, group: pair}
      - row: {name: bar, from: [0, 9], to: [40, 9], count: 5, group: all, part: red-622}
    zones: {two: [a, b], three: [two, pair, bar]}
  other: {opposite-hand-of: lamp}
modules:
  m: {board: chain-8, lamp: lamp, wiring: {a: 3, b: 4, pair: 5, d: 6, bar: 7}}
  n: {board: chain-8, lamp: other, wiring: {b: 1, two: [2, 1]}}
inputs:
  button: {wire: [m.in5, n.in5], feed: {kind: relay}}
routines:
  glow: {strokes: [{hold: {on: a, light: 100 %}}, {hold: {on: [b, pair], light: 100 %}}]}
shows:
  - glow: {input: button, takes: [lamp.a, lamp.b, lamp.pair, other], stay: glow}
`

func TestSingleLEDsJoin(t *testing.T) {
	text := strings.Replace(singles, "wiring: {b: 1, two: [2, 1]}", "wiring: {b: 1, a: 2}", 1)
	d, path := opened(t, text, Options{})
	must(t, do(d, "join", `{"lamp":"lamp","leds":["a","b"],"group":"duo"}`))
	says(t, d.State().Text, "{name: a, at: [0, 0], part: red-622, group: duo}    # top", "{name: b, at: [10, 0], part: red-622, group: duo}", "two: duo", "three: [two, pair, bar]",
		"wiring: {pair: 5, d: 6, bar: 7, duo: 3}", "wiring: {duo: 2}", "takes: [lamp.duo, lamp.pair, other]", "on: duo", "on: [duo, pair]")
	if d.State().Kit == nil {
		t.Errorf("%v", d.State().Problems)
	}
	must(t, do(d, "unjoin", `{"lamp":"lamp","leds":["b","a"]}`))
	says(t, d.State().Text, "two: [a, b]", "wiring: {pair: 5, d: 6, bar: 7, a: 3}", "wiring: {a: 2}", "takes: [lamp.a, lamp.b, lamp.pair, other]", "!duo")
	if d.State().Kit == nil {
		t.Errorf("%v", d.State().Problems)
	}
	must(t, d.Undo(d.State().Revision))
	undone(t, d, path, text)

	must(t, do(d, "join", `{"lamp":"lamp","leds":["c","b"],"group":"pair"}`)) // into a group that is there
	says(t, d.State().Text, "{name: b, at: [10, 0], part: red-622, group: pair}", "{name: e, at: [40, 0], part: red-622, group: pair}", "two: [a, pair]", "{a: 3, pair: 5, d: 6, bar: 7}", "on: pair, ", "takes: [lamp.a, lamp.pair, other]")
	undone(t, d, path, text)
	must(t, do(d, "unjoin", `{"lamp":"lamp","leds":["c"]}`)) // out of one that stays
	says(t, d.State().Text, "{name: c, at: [20, 0], part: red-622}", "three: [two, pair, bar]", "pair: 5")

	refusals(t, text, [][3]string{
		{"join", `{"lamp":"lamp","leds":["a"],"group":"x"}`, "alone"},
		{"join", `{"lamp":"lamp","leds":["a","bar"],"group":"x"}`, "no single LED \"bar\""},
		{"join", `{"lamp":"lamp","leds":["a","b"],"group":"bar"}`, "already"},
		{"join", `{"lamp":"lamp","leds":["a","b"],"group":"two"}`, "already"},
		{"join", `{"lamp":"lamp","leds":["a","b"],"group":"pair"}`, "already"},
		{"join", `{"lamp":"lamp","leds":["a","b"],"group":"Duo"}`, "cannot be a name"},
		{"join", `{"lamp":"lamp","leds":["a","d"],"group":"x"}`, "colours"},
		{"join", `{"lamp":"other","leds":["a","b"],"group":"x"}`, "opposite hand"},
		{"unjoin", `{"lamp":"lamp","leds":["a"]}`, "in a group"},
	})
}

func TestZonesAndFunctionsOfGroups(t *testing.T) {
	d, path := opened(t, oneSide, Options{})
	must(t, do(d, "zone", `{"lamp":"tail-lh","name":"low","groups":["arrow.4","arrow.3","block.1","arrow.2","block.2","arrow.8"]}`))
	says(t, d.State().Text, "    zones:\n      low: [arrow.2..4, arrow.8, block]\n")
	must(t, do(d, "zone", `{"lamp":"tail-lh","name":"low","groups":["arrow.1"]}`))
	says(t, d.State().Text, "      low: arrow.1\n")
	must(t, do(d, "serve", `{"lamp":"tail-lh","function":"tail","groups":["arrow.1"]}`))
	says(t, d.State().Text, "tail: {zone: low, required: false}")
	must(t, do(d, "serve", `{"lamp":"tail-lh","function":"stop","groups":["block.2","block.1"],"required":true}`))
	says(t, d.State().Text, "stop: {zone: block, required: true}")
	if d.State().Kit == nil {
		t.Errorf("%v", d.State().Problems)
	}
	must(t, d.Undo(d.State().Revision))
	must(t, d.Undo(d.State().Revision))
	undone(t, d, path, oneSide)
	refusals(t, oneSide, [][3]string{
		{"zone", `{"lamp":"tail-lh","name":"arrow","groups":["arrow.1"]}`, "makes a zone of that name"},
		{"zone", `{"lamp":"tail-lh","name":"low","groups":[]}`, "no group is chosen"},
		{"zone", `{"lamp":"tail-lh","name":"low","groups":["arrow.9"]}`, "no group"},
		{"zone", `{"lamp":"tail-lh","name":"Low","groups":["arrow.1"]}`, "cannot be a name"},
		{"serve", `{"lamp":"tail-lh","function":"disco","groups":["arrow.1"]}`, "no road function"},
		{"serve", `{"lamp":"nose","function":"stop","groups":["arrow.1"]}`, "no lamp"},
	})
}

func TestALampIsDeletedWithAllThatIsItsOwn(t *testing.T) {
	d, path := opened(t, oneSide, Options{})
	must(t, do(d, "opposite", `{"of":"tail-lh","name":"tail-rh","module":"rear-rh"}`))
	must(t, do(d, "drop", `{"lamp":"tail-rh"}`))
	if s := d.State(); s.Kit == nil || strings.Contains(s.Text, "-rh") {
		t.Errorf("%v\n%s", s.Problems, s.Text)
	}
	must(t, d.Undo(d.State().Revision))
	undone(t, d, path, oneSide)

	must(t, do(d, "lamp", `{"name":"bar","end":"rear","side":"centre"}`))
	must(t, do(d, "leds", `{"lamp":"bar","word":"b","part":"red-622","points":[[0,0]]}`))
	must(t, do(d, "opposite", `{"of":"tail-lh","name":"tail-rh","module":"rear-rh"}`))
	must(t, do(d, "drop", `{"lamp":"tail-lh"}`))
	says(t, d.State().Text, "!tail-", "!rear-", "!turn", "bar:")

	refusals(t, oneSide, [][3]string{{"drop", `{"lamp":"tail-lh"}`, "at least one lamp"}, {"drop", `{"lamp":"nose"}`, "no lamp"}})
}

// Whatever a drawing's commands are asked, they refuse or leave a text that can be read.
func FuzzDrawing(f *testing.F) {
	for _, c := range [][2]string{
		{"put", `{"lamp":"lamp","text":"- led: {name: a, at: [1, 2], part: red-622, group: x}"}`},
		{"pattern", `{"lamp":"lamp","index":5,"values":{"count":"4","group":"2"}}`},
		{"erase", `{"paths":[["lamps","lamp","leds","0"],["lamps","lamp","leds","5"]]}`},
		{"join", `{"lamp":"lamp","leds":["a","b"],"group":"c2"}`},
		{"unjoin", `{"lamp":"lamp","leds":["c","e"]}`},
		{"zone", `{"lamp":"lamp","name":"z","groups":["a.1","bar.1"]}`},
		{"drop", `{"lamp":"other"}`},
		{"leds", `{"lamp":"lamp","word":"w","part":"red-622","points":[[1e308,-1],[0,0]]}`},
	} {
		f.Add(c[0], c[1])
	}
	f.Fuzz(func(t *testing.T, name, args string) {
		d, path := opened(t, singles, Options{})
		list := do(d, name, args)
		if list.HasErrors() && onDisk(t, path) != singles {
			t.Error("refused, and yet changed")
		}
		if d.State().File == nil {
			t.Errorf("the text cannot be read any more:\n%s", d.State().Text)
		}
	})
}
