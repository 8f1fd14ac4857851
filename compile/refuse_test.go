package compile

import (
	"fmt"
	"strings"
	"testing"

	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
)

// show is one more show of the base job, over the outer groups.
func moreShows(n int, stay string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "  - more-%d: {input: glow, takes: tail-lh.edge, stay: %s}\n", i, stay)
	}
	return b.String()
}

const lastLine = "  - tide: {input: glow, stay: tide, limit: 1 min}\n"

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		name, text string
		break_     func(k *kit.Kit)
		id, says   string
	}{
		{"a group without an output", base, func(k *kit.Kit) { k.Modules[0].Output[2] = -1 }, "unwired", "arrow.3"},
		{"an output beyond the board", base, func(k *kit.Kit) { k.Modules[0].Output[2] = 24 }, "wiring", "output 25"},
		{"two groups on one output", base, func(k *kit.Kit) { k.Modules[0].Output[2] = 0 }, "wiring", "arrow.1 and arrow.3"},
		{"a routine longer than a module counts", base, func(k *kit.Kit) { k.Layers[4].Stay.On(k.Lamps[0]).Light.LengthMS = 262_144 }, "limit", "too long"},
		{"an input without a wire", base, func(k *kit.Kit) { k.Inputs[1].Pins = k.Inputs[1].Pins[1:] }, "input", "no wire to module \"left\""},
		{"neither arrive nor stay", base, func(k *kit.Kit) { k.Layers[2].Stay = nil }, "no-routine", "stop"},
		{"a routine of another lamp", base, func(k *kit.Kit) { k.Layers[4].Stay.Across = k.Lamps[:1] }, "takes", "does not play there"},
		{"a show before a signal", base, func(k *kit.Kit) { k.Layers[3], k.Layers[4] = k.Layers[4], k.Layers[3] }, "show-before-signal", "tail"},
		{"a flasher on two inputs", base, func(k *kit.Kit) {
			k.Inputs[2].Pins = append(k.Inputs[2].Pins, kit.Pin{Module: k.Modules[0], In: 6})
		}, "pace", "several inputs"},
		{"nothing to do", base, func(k *kit.Kit) {
			for _, l := range k.Layers {
				l.Takes = l.Takes[len(l.Takes)-1:]
			}
			k.Layers = k.Layers[1:]
		}, "idle-module", "left"},
		{"too many layers", change(t, lastLine, lastLine+moreShows(9, "dim")), nil, "limit", "too many signals and shows"},
		{"too many that move", change(t, lastLine, lastLine+moreShows(7, "glow-edge"), "  dim:", "  glow-edge: {length: 1 s, strokes: [{beat: {on: edge, for: 1 s}}]}\n  dim:"), nil, "limit", "move"},
		{"three flashers", change(t,
			"  turn-lh: {wire: left.in3}", "  turn-lh: {wire: left.in3}\n  drl: {wire: left.in4}\n  fog: {wire: left.in6}",
			"  - stop:", "  - turn-b: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}\n  - turn-c: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}\n  - stop:"), func(k *kit.Kit) {
			k.Layers[2].Input, _ = k.Input("drl")
			k.Layers[3].Input, _ = k.Input("fog")
		}, "pace", "more than 2 flashers"},
	} {
		k := load(t, c.text)
		if c.break_ != nil {
			c.break_(k)
		}
		r, list := Compile(k, Options{})
		if !list.HasErrors() || !hasID(t, list, c.id) || !strings.Contains(list.Error(), c.says) {
			t.Errorf("%s: %v", c.name, list)
		}
		if r.Modules[0].Image != nil && c.id != "show-before-signal" {
			t.Errorf("%s: an image all the same", c.name)
		}
	}
}

func TestOneModuleRefusedLeavesTheOthers(t *testing.T) {
	k := load(t, base)
	k.Modules[0].Output[2] = -1
	r, list := Compile(k, Options{})
	if !list.HasErrors() || r.Modules[0].Image != nil || r.Modules[1].Image == nil {
		t.Errorf("%v", list)
	}
	if !strings.Contains(r.Modules[0].Listing(), "refused") {
		t.Error("the listing does not say so")
	}
	if r.Module(k.Modules[1]) != r.Modules[1] || r.Module(nil) != nil {
		t.Error("modules are not found")
	}
}

// What a frame may cost: three layers that start two fades a group in one tick are in time; hurried by a flasher as well, they are not.
func TestAFrameThatCannotBeShownInTimeIsRefused(t *testing.T) {
	flash := "{hold: {on: bar, for: 100 ms, light: 50 %}}, {fade-down: {on: bar, from: 100 %, start: 100 ms, for: 500 ms}}"
	text := wide(3, flash)
	r, list := Compile(load(t, text), Options{})
	if list.HasErrors() || r.Modules[0].FrameCycles() > FrameCyclesMax {
		t.Fatalf("%d cycles: %v", r.Modules[0].FrameCycles(), list)
	}
	text = strings.Replace(text, "inputs: {a: {wire: one.in1}}", "inputs: {a: {wire: one.in1}, turn-lh: {wire: one.in2}}", 1)
	text = strings.Replace(text, "shows:\n  - s0: {input: a, stay: r0}\n", "signals:\n  - s0: {input: turn-lh, takes: bar, arrive: r0, pace: flasher}\nshows:\n", 1)
	text = strings.Replace(text, "  r0: {seed: 0, strokes: ["+flash+"]}", "  r0: {length: 600 ms, strokes: [{beat: {on: bar, for: 12 ms, times: 50}}]}", 1)
	r, list = Compile(load(t, text), Options{})
	if !hasID(t, list, "busy-frame") || r.Modules[0].Image != nil || r.Modules[0].FrameCycles() <= FrameCyclesMax {
		t.Errorf("%d cycles: %v", r.Modules[0].FrameCycles(), list)
	}
}

// wide is a lamp of 64 groups with shows over all of it.
func wide(shows int, stroke string) string {
	var b strings.Builder
	b.WriteString(`lampwright: 1
job: {title: Wide, use: show-only}
lamps:
  bar:
    place: {end: rear, side: centre, at: [0 mm, 900 mm]}
    leds: [{row: {name: bar, from: [0, 0], to: [1270, 0], count: 128, group: 2, part: red-622}}]
modules: {one: {board: chain-64, lamp: bar, wiring: {bar: 1..64}}}
inputs: {a: {wire: one.in1}}
routines:
`)
	for i := range shows {
		fmt.Fprintf(&b, "  r%d: {seed: %d, strokes: [%s]}\n", i, i, stroke)
	}
	b.WriteString("shows:\n")
	for i := range shows {
		fmt.Fprintf(&b, "  - s%d: {input: a, stay: r%d}\n", i, i)
	}
	return b.String()
}

func TestMemoryIsRefusedWithTheFigures(t *testing.T) {
	for _, c := range []struct {
		name   string
		text   string
		figure string
		says   string
	}{
		{"fades", wide(4, "{beat: {on: bar, for: 1 s}}"), "256", "s0 64"},
		{"bytes", wide(2, "{scatter: {on: bar, for: 60 s, each: 300 ms}}, {scatter: {on: bar, for: 1 s, each: 300 ms, times: 50, every: 1100 ms}}"), " bytes", "r0 with"},
	} {
		k := load(t, c.text)
		r, list := Compile(k, Options{})
		found := false
		for _, d := range list {
			found = found || d.ID == "limit" && strings.Contains(d.Figure, c.figure) && strings.Contains(d.Why, c.says) && d.Limit != "" && d.Source != "" && d.Next != ""
		}
		if !found || r.Modules[0].Image != nil {
			t.Errorf("%s: %+v", c.name, list)
		}
	}
	// The same shows a little smaller are taken: the limit is where it is said to be.
	k := load(t, wide(program.MaxFades/64, "{beat: {on: bar, for: 1 s}}"))
	r, list := Compile(k, Options{})
	if list.HasErrors() || r.Modules[0].Fades != program.MaxFades || r.Modules[0].Image == nil {
		t.Errorf("%d fades: %v", r.Modules[0].Fades, list)
	}
}

func TestShortLoopOfALinkedShowIsACaution(t *testing.T) {
	k := load(t, change(t, "tide: {length: 2 s,", "tide: {length: 800 ms,"))
	r, list := Compile(k, Options{})
	if list.HasErrors() || list.Count(report.Caution) == 0 || !hasID(t, list, "short-loop") {
		t.Errorf("%v", list)
	}
	if l, _ := layerOf(t, r.Modules[0], "tide"); l.Linked {
		t.Error("linked all the same")
	}
}
