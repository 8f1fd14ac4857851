package compile

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
	"lampwright/units"
)

// base is a small job that is right; tests change a piece of it. Vehicle and numbers are invented.
const base = `lampwright: 1
job: {title: Small pickup, use: road-us}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds:
      - row: {name: arrow, from: [0, 0], to: [110, 0], count: 12, group: 2, part: amber-590}
      - row: {name: block, from: [0, 30], to: [110, 30], count: 12, group: 3, part: red-622}
      - row: {name: edge, from: [0, 50], to: [110, 50], count: 8, group: 1, part: red-622}
    functions: {turn: {zone: arrow, required: true}, stop: {zone: block, required: true}, tail: {zone: edge, required: true}}
  tail-rh: {opposite-hand-of: tail-lh}
modules:
  left: {board: chain-24, lamp: tail-lh, link: leader, wiring: {arrow: 1..6, block: 7..10, edge: 11..18}}
  right: {board: chain-24, lamp: tail-rh, link: follower, wiring: {arrow: 6..1, block: [9..10, 7..8], edge: 24..17}}
inputs:
  tail: {wire: [left.in1, right.in1]}
  stop: {wire: [left.in2, right.in2]}
  turn-lh: {wire: left.in3}
  turn-rh: {wire: right.in3}
  glow: {wire: [left.in5, right.in5], active: low}
routines:
  out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard, edge: 20 mm}}]}
  full: {strokes: [{hold: {on: block}}]}
  dim: {strokes: [{hold: {on: edge, light: 40 %}}]}
  tide: {length: 2 s, across: [tail-lh, tail-rh], strokes: [{pass: {on: [block, edge], direction: right, band: 60 mm, edge: 40 mm}}]}
signals:
  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}
  - turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: out, pace: flasher}
  - stop: {input: stop, takes: block, stay: full}
  - tail: {input: tail, takes: edge, stay: dim}
shows:
  - tide: {input: glow, stay: tide, limit: 1 min}
`

// change replaces text of the base job; it must be there, once.
func change(t interface{ Fatalf(string, ...any) }, pairs ...string) string {
	text := base
	for i := 0; i < len(pairs); i += 2 {
		if strings.Count(text, pairs[i]) != 1 {
			t.Fatalf("the job has %d times %q", strings.Count(text, pairs[i]), pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return text
}

func load(t interface{ Fatalf(string, ...any) }, text string) *kit.Kit {
	k, list := kit.Parse("job.yaml", []byte(text), kit.NoFiles)
	if k == nil {
		t.Fatalf("%v", list)
	}
	return k
}

// compiled compiles a job that is right.
func compiled(t interface{ Fatalf(string, ...any) }, text string) (*kit.Kit, *Result) {
	k := load(t, text)
	r, list := Compile(k, Options{})
	if list.HasErrors() {
		t.Fatalf("%v", list)
	}
	return k, r
}

// layerOf finds a layer of a module by name.
func layerOf(t interface{ Fatalf(string, ...any) }, m *Module, name string) (*program.Layer, *Layer) {
	for i, l := range m.Layers {
		if l.Of.Name == name {
			return &m.Program.Layers[i], l
		}
	}
	t.Fatalf("module %s has no layer %s", m.Of.Name, name)
	return nil, nil
}

func TestLayersCarryWhatTheKitSays(t *testing.T) {
	_, r := compiled(t, base)
	left, right := r.Modules[0], r.Modules[1]
	for _, c := range []struct {
		m                    *Module
		name                 string
		show, fast, linked   bool
		mask                 uint8
		pace                 int
		window, keep, limit  uint16
		arrive, stay, moving bool
		slots                []uint8 // by group
	}{
		// keep: nothing below the turn signal shares its groups here
		{left, "turn-lh", false, false, false, 4, 0, 0, 0, 0, true, true, true, []uint8{0, 1, 2, 3, 4, 5}},
		{right, "turn-rh", false, false, false, 4, 0, 0, 0, 0, true, true, true, []uint8{5, 4, 3, 2, 1, 0}},
		{left, "stop", false, true, false, 2, -1, 0, 0, 0, false, false, false, []uint8{6, 7, 8, 9}},
		{right, "stop", false, true, false, 2, -1, 0, 0, 0, false, false, false, []uint8{8, 9, 6, 7}},
		{left, "tail", false, false, false, 1, -1, 0, 0, 0, false, false, false, []uint8{10, 11, 12, 13, 14, 15, 16, 17}},
		// limit: 60 s are 234 whole units of 256 ms
		{left, "tide", true, false, true, 16, -1, 0, 0, 234, false, true, true, []uint8{6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17}},
	} {
		l, facts := layerOf(t, c.m, c.name)
		if l.Show != c.show || l.Fast != c.fast || l.Linked != c.linked || l.InputMask != c.mask || l.Pace != c.pace ||
			l.Window != c.window || l.Keep != c.keep || l.Limit != c.limit ||
			(l.Arrive != nil) != c.arrive || (l.Stay != nil) != c.stay || (l.Still == nil) != c.moving {
			t.Errorf("%s %s: %+v", c.m.Of.Name, c.name, l)
		}
		byGroup := slices.Clone(facts.Groups)
		slices.Sort(byGroup)
		for i, g := range byGroup {
			if slot := slices.Index(facts.Groups, g); l.Slots[slot] != c.slots[i] {
				t.Errorf("%s %s: group %d on output %d, want %d", c.m.Of.Name, c.name, g, l.Slots[slot], c.slots[i])
			}
		}
	}
	if p := left.Program; p.Lamp != 0 || p.Side != program.LH || p.Registers != 3 || p.Link != program.Leader || p.PacerInput != [2]uint8{4, 0} {
		t.Errorf("%+v", p)
	}
	if p := right.Program; p.Lamp != 1 || p.Side != program.RH || p.Link != program.Follower || p.Kit != left.Program.Kit {
		t.Errorf("%+v", p)
	}
	// FNV-1a, 32 bits (draft-eastlake-fnv): published test vectors, as in the reference code.
	for text, want := range map[string]uint32{"": 0x811c9dc5, "a": 0xe40c292c, "foobar": 0xbf9cf968} {
		if got := kitNumber(text); got != want {
			t.Errorf("kit number of %q: %08x", text, got)
		}
	}
	if left.Fades != 6+12 || left.Moving != 2 {
		t.Errorf("%d fades of %d moving layers", left.Fades, left.Moving)
	}
}

func TestDefaultsOfPractice(t *testing.T) {
	for _, c := range []struct {
		name         string
		text         string
		layer        string
		window, keep uint16 // frames
		fast, still  bool
	}{
		{"a turn keeps groups dark that a show below shares", change(t, "on: [block, edge]", "on: [arrow, edge]"), "turn-lh", 0, 200, false, false},
		{"said otherwise", change(t, "on: [block, edge]", "on: [arrow, edge]", "takes: tail-lh.arrow, arrive: out, pace: flasher", "takes: tail-lh.arrow, arrive: out, pace: flasher, keeps: 90 ms"), "turn-lh", 0, 23, false, false},
		{"a stop with an arrive", change(t, "use: road-us", "use: show-only", "takes: block, stay: full", "takes: block, arrive: in, stay: full", "  full:", "  in: {length: 200 ms, strokes: [{sweep: {on: block, direction: outboard}}]}\n  full:"), "stop", 750, 0, false, false},
		{"its window said", change(t, "use: road-us", "use: show-only", "takes: block, stay: full", "takes: block, arrive: in, stay: full, repeat-window: 1 s", "  full:", "  in: {length: 200 ms, strokes: [{sweep: {on: block, direction: outboard}}]}\n  full:"), "stop", 250, 0, false, false},
		{"a stop whose arrive is its full light at once never moves", change(t, "takes: block, stay: full", "takes: block, arrive: full"), "stop", 0, 0, true, true},
		{"a stop that is not full is not fast", change(t, "hold: {on: block}", "hold: {on: block, light: 90 %}"), "stop", 0, 0, false, true},
		{"a stop for show only", change(t, "use: road-us", "use: show-only"), "stop", 0, 0, true, true},
	} {
		_, r := compiled(t, c.text)
		l, _ := layerOf(t, r.Modules[0], c.layer)
		if l.Window != c.window || l.Keep != c.keep || l.Fast != c.fast || (l.Still != nil) != c.still {
			t.Errorf("%s: window %d, keep %d, fast %v, still %v", c.name, l.Window, l.Keep, l.Fast, l.Still)
		}
	}
}

func TestStayGoesRoundOnlyIfItMoves(t *testing.T) {
	for _, c := range []struct {
		name  string
		stay  string
		ticks int
		loops bool
	}{
		{"moves", "{length: 2 s, strokes: [{beat: {on: edge, for: 2 s}}]}", 500, true},
		{"holds, with a length", "{length: 2 s, strokes: [{hold: {on: edge, light: 40 %}}]}", 1, false},
		{"a length that is no whole frame", "{length: 1001 ms, strokes: [{beat: {on: edge, for: 1 s}}]}", 251, true},
	} {
		_, r := compiled(t, change(t, "takes: edge, stay: dim", "takes: edge, arrive: up, stay: dim", "  dim: {strokes: [{hold: {on: edge, light: 40 %}}]}",
			"  up: {length: 80 ms, strokes: [{fade-up: {on: edge, light: 40 %}}]}\n  dim: "+c.stay))
		l, _ := layerOf(t, r.Modules[0], "tail")
		if l.Stay.Ticks != c.ticks || l.Stay.Loops != c.loops || l.Arrive.Ticks != 20 || l.Arrive.Loops {
			t.Errorf("%s: %d ticks, loops %v; arrive %d ticks", c.name, l.Stay.Ticks, l.Stay.Loops, l.Arrive.Ticks)
		}
	}
}

func TestWithoutAStayTheLightThatArriveLeftStays(t *testing.T) {
	_, r := compiled(t, base)
	l, facts := layerOf(t, r.Modules[0], "turn-lh")
	if l.Arrive.Ticks != pacedTicks {
		t.Errorf("%d ticks at the flasher's pace", l.Arrive.Ticks)
	}
	arrive, stay := program.PlayRoutine(l.Arrive, len(l.Slots)), program.PlayRoutine(l.Stay, len(l.Slots))
	if slices.Max(arrive[0]) == 0 {
		t.Error("the turn signal begins with a dark frame")
	}
	for tick, levels := range stay {
		if !bytes.Equal(levels, arrive[pacedTicks]) || slices.Min(levels) != program.FullLevel {
			t.Errorf("tick %d of stay: %v after %v", tick, levels, arrive[pacedTicks])
		}
	}
	if facts.Routines[1].Of != nil || facts.Routines[1].Part != "stay" {
		t.Errorf("%+v", facts.Routines[1])
	}
}

func TestSafeBlockServesTheSameOutputs(t *testing.T) {
	_, r := compiled(t, base)
	for i, want := range []program.Safe{
		{
			Registers: 3, TailLevel: 177, Over: 152, Stop: 2, Tail: 1, TurnA: 4, Invert: 16,
			On: [8]uint8{10, 7, 4, 20, 20, 20, 20, 20}, Off: [8]uint8{16, 16, 10, 20, 20, 20, 20, 20},
			StopOut: [8]uint8{0xC0, 0x03}, TailOut: [8]uint8{0, 0xFC, 0x03}, TurnAOut: [8]uint8{0x3F},
		},
		{
			Registers: 3, TailLevel: 177, Over: 152, Stop: 2, Tail: 1, TurnB: 4, Invert: 16,
			On: [8]uint8{10, 7, 4, 20, 20, 20, 20, 20}, Off: [8]uint8{16, 16, 10, 20, 20, 20, 20, 20},
			StopOut: [8]uint8{0xC0, 0x03}, TailOut: [8]uint8{0, 0, 0xFF}, TurnBOut: [8]uint8{0x3F},
		},
	} {
		if got := *r.Modules[i].Safe; got != want {
			t.Errorf("%s: %+v\nwant %+v", r.Modules[i].Of.Name, got, want)
		}
	}
	// 17 V unless the job says otherwise: 17 · 256 / 28.5 = 152.7 codes.
	// 40 % of light is lightness 69.5 (CIE 1976 by hand: 116·0.4^(1/3) − 16 = 69.47), level 177 of 255.
	if want := math.Round((116*math.Cbrt(0.4) - 16) * 2.55); want != 177 {
		t.Errorf("%v", want)
	}
}

func TestRequiredZoneIsInTheSafeBlockWithoutASignal(t *testing.T) {
	_, r := compiled(t, change(t, "use: road-us", "use: show-only", "  - stop: {input: stop, takes: block, stay: full}\n", ""))
	if s := r.Modules[0].Safe; s.Stop != 2 || s.StopOut != [8]uint8{0xC0, 0x03} {
		t.Errorf("%+v", s)
	}
}

func TestEveryRoutinePlaysItsLightWithinTheStatedError(t *testing.T) {
	for _, opt := range []Options{{}, {Error: 0.2}, {Error: 2.5}} {
		k := load(t, base)
		r, list := Compile(k, opt)
		if list.HasErrors() {
			t.Fatal(list)
		}
		limit := max(opt.Error, DefaultError)
		for _, m := range r.Modules {
			for i, facts := range m.Layers {
				l := &m.Program.Layers[i]
				for _, routine := range facts.Routines {
					if routine.WorstError > limit {
						t.Errorf("%s %s: stated error %v", facts.Of.Name, routine.Part, routine.WorstError)
					}
					if routine.Of != nil {
						checkLight(t, m, l, facts, routine, limit)
					}
				}
			}
		}
	}
}

// checkLight compares a routine as played with the definition of its light, group by group and tick by tick.
func checkLight(t *testing.T, m *Module, l *program.Layer, facts *Layer, r *Routine, limit float64) {
	t.Helper()
	bound := r.Of.On(m.Of.Lamp)
	length := bound.Light.Length()
	played := program.PlayRoutine(r.Code, len(l.Slots))
	for slot, g := range facts.Groups {
		for tick, levels := range played {
			at := min(float64(tick)*program.FrameMS, length)
			if facts.Of.Flasher && r.Part == "arrive" {
				at = length * float64(tick+1) / (pacedTicks + 1)
			}
			wanted := units.Lightness(bound.Light.GroupLight(bound.GroupLEDs(m.Of.Lamp, []int{g}), at)) * 2.55
			allowed := limit + 1.0/256 + facts.Moved
			if shown := float64(levels[slot]); math.Abs(shown-wanted) > allowed {
				t.Fatalf("%s %s tick %d group %d: level %v, wanted %.3f", facts.Of.Name, r.Part, tick, g, shown, wanted)
			}
		}
	}
}

// Where the light of a signal rests at full the module shows it in full, since there it is measured; a show may save a fade by a level.
func TestSignalsRestAtFull(t *testing.T) {
	_, r := compiled(t, change(t, "use: road-us", "use: show-only", "takes: block, stay: full", "takes: block, arrive: in, stay: full",
		"  full:", "  in: {length: 200 ms, strokes: [{sweep: {on: block, direction: outboard, edge: 80 mm, by: group}}]}\n  full:",
		"stay: tide, limit: 1 min", "arrive: in, stay: tide, takes: [tail-lh.block, tail-rh.block], limit: 1 min"))
	var fades []int
	for _, name := range []string{"stop", "tide"} {
		l, facts := layerOf(t, r.Modules[0], name)
		arrive := facts.Routines[0]
		fades = append(fades, arrive.Fades)
		bound, lamp, full := arrive.Of.On(r.Modules[0].Of.Lamp), r.Modules[0].Of.Lamp, 0
		for tick, levels := range program.PlayRoutine(arrive.Code, len(l.Slots)) {
			for slot, g := range facts.Groups {
				light := func(tick int) float64 {
					return bound.Light.GroupLight(bound.GroupLEDs(lamp, []int{g}), min(float64(tick)*program.FrameMS, bound.Light.Length()))
				}
				if tick == 0 || light(tick) < 1 || light(tick-1) < 1 {
					continue
				}
				full++
				if least := map[string]uint8{"stop": 255, "tide": 254}[name]; levels[slot] < least {
					t.Errorf("%s, tick %d, group %d: level %d", name, tick, g, levels[slot])
				}
			}
		}
		if full == 0 {
			t.Errorf("%s never rests at full", name)
		}
	}
	if fades[1] >= fades[0] {
		t.Errorf("the show takes %d fades, the signal %d", fades[1], fades[0])
	}
}

func TestTwoRunsGiveTheSameBytes(t *testing.T) {
	_, first := compiled(t, base)
	_, second := compiled(t, base)
	for i, m := range first.Modules {
		other := second.Modules[i]
		if !bytes.Equal(m.Image, other.Image) || *m.Safe != *other.Safe || m.Listing() != other.Listing() {
			t.Errorf("module %s differs between two runs", m.Of.Name)
		}
	}
}

func TestImageSizeIsForeseen(t *testing.T) {
	_, r := compiled(t, base)
	for _, m := range r.Modules {
		if got := m.Program.ImageBytes(); got != len(m.Image) {
			t.Errorf("module %s: %d bytes foreseen, %d made", m.Of.Name, got, len(m.Image))
		}
	}
}

func TestCompileIsSteadyUnderAnyStrokes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := change(t, "  tide: {length: 2 s, across: [tail-lh, tail-rh], strokes: [{pass: {on: [block, edge], direction: right, band: 60 mm, edge: 40 mm}}]}", drawRoutine(t, "tide", "across: [tail-lh, tail-rh], ", "[block, edge]"))
		k := load(t, text)
		r, list := Compile(k, Options{})
		if list.HasErrors() {
			t.Fatalf("%v", list)
		}
		for _, m := range r.Modules {
			if err := checkImage(m); err != nil {
				t.Fatalf("%v", err)
			}
			for _, l := range m.Layers {
				for _, routine := range l.Routines {
					if routine.WorstError > DefaultError {
						t.Fatalf("%s: error %v", l.Of.Name, routine.WorstError)
					}
				}
			}
		}
	})
}

func checkImage(m *Module) error {
	p, err := program.Decode(m.Image)
	if err != nil {
		return err
	}
	_, err = program.NewEngineFor(p, m.Safe)
	return err
}

// drawRoutine draws a routine of a few strokes, as a line of a document.
func drawRoutine(t *rapid.T, name, more, on string) string {
	var strokes []string
	for range rapid.IntRange(1, 3).Draw(t, "strokes") {
		pick := func(list ...string) string { return rapid.SampledFrom(list).Draw(t, "pick") }
		at := "on: " + on + ", start: " + pick("0 ms", "130 ms", "400 ms") + ", light: " + pick("100 %", "40 %", "1 %", "0.3 %")
		way := ", direction: " + pick("left", "right", "inboard", "outboard", "outward", "up") + ", edge: " + pick("0 mm", "7 mm", "80 mm")
		strokes = append(strokes, "{"+pick(
			"sweep: {"+at+way+", for: 300 ms}",
			"clear: {on: "+on+", start: 500 ms, for: 333 ms"+way+"}",
			"pass: {"+at+way+", band: 25 mm, for: 700 ms, easing: gentle}",
			"swing: {"+at+way+", band: 25 mm, for: 700 ms, meets: brighter}",
			"fade-up: {"+at+", for: 250 ms}",
			"beat: {"+at+", for: 150 ms, times: 4}",
			"hold: {"+at+", for: 90 ms}",
			"scatter: {"+at+", for: 900 ms, each: 200 ms}",
		)+"}")
	}
	return "  " + name + ": {length: 1503 ms, " + more + "strokes: [" + strings.Join(strokes, ", ") + "]}"
}

// hasID tells whether a list holds a diagnostic of an ID, complete with place and next step.
func hasID(t *testing.T, list report.List, id string) bool {
	t.Helper()
	found := false
	for _, d := range list {
		if d.Next == "" || d.Place.IsZero() {
			t.Errorf("no next step or no place: %v", d)
		}
		found = found || d.ID == id
	}
	return found
}
