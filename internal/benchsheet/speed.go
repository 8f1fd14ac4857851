package main

import (
	"context"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"lampwright/compile"
	"lampwright/flash"
	"lampwright/job"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/proof/measure"
)

// median gives the median time of several runs.
func median(runs int, f func() error) (time.Duration, error) {
	var all []time.Duration
	for range runs {
		start := time.Now()
		if err := f(); err != nil {
			return 0, err
		}
		all = append(all, time.Since(start))
	}
	slices.Sort(all)
	return all[len(all)/2], nil
}

// toHEX goes all the way from the text of a document to the HEX of every module, in memory.
func toHEX(name string, text []byte) (hex [][]byte, err error) {
	doc, list := job.Parse(name, text)
	if doc == nil {
		return nil, fmt.Errorf("%v", list)
	}
	k, list := kit.Build(doc, kit.NoFiles)
	if k == nil {
		return nil, fmt.Errorf("%v", list)
	}
	r, list := compile.Compile(k, compile.Options{})
	if list.HasErrors() {
		return nil, fmt.Errorf("%v", list)
	}
	for _, m := range r.Modules {
		one, err := flash.Ship(m.Of.Board.Core, m.Safe, m.Image)
		if err != nil {
			return nil, err
		}
		hex = append(hex, one)
	}
	return hex, nil
}

const (
	toolRuns, buildRuns = 15, 3
	fasterGoal          = 10.0   // times
	engineGoal          = 3000.0 // times real time
	secondGoal          = 1000.0 // ms
)

// speed times the tool beside what it stands in for: building core and tables for each module with the compiler.
func speed(_ context.Context, r measure.Rig) ([]measure.Figure, error) {
	text, err := os.ReadFile(measure.DemoJob)
	if err != nil {
		return nil, err
	}
	folder, err := os.MkdirTemp(r.Cache, "build-")
	if err != nil {
		return nil, err
	}
	build, err := measure.BuildCore(root, folder)
	if err != nil {
		return nil, err
	}
	hex, err := toHEX(measure.DemoJob, text)
	if err != nil {
		return nil, err
	}
	tool, err := median(toolRuns, func() error { _, err := toHEX(measure.DemoJob, text); return err })
	if err != nil {
		return nil, err
	}
	builds, err := median(buildRuns, func() error {
		for range hex {
			if _, err := build(); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	large, err := median(3, func() error { _, err := toHEX("panel.yaml", panelJob(10_000, 15, 4)); return err })
	if err != nil {
		return nil, err
	}
	engine, err := engineSpeed()
	if err != nil {
		return nil, err
	}
	return []measure.Figure{
		{Name: fmt.Sprintf("document to HEX, demo job, %d modules", len(hex)), Value: ms(tool), Unit: "ms"},
		{Name: fmt.Sprintf("avr-gcc building core and tables %d times", len(hex)), Value: ms(builds), Unit: "ms"},
		{Name: "document to HEX is faster by", Value: float64(builds) / float64(tool), Unit: "times", Goal: measure.Goal{Sense: measure.AtLeast, Limit: fasterGoal}},
		{Name: "engine, 64 outputs, two fading layers", Value: engine, Unit: "times real time", Goal: measure.Goal{Sense: measure.AtLeast, Limit: engineGoal}},
		{Name: "document to HEX, a lamp of 10 000 LEDs", Value: ms(large), Unit: "ms", Goal: measure.Goal{Sense: measure.Below, Limit: secondGoal}},
	}, nil
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

func engineSpeed() (float64, error) {
	e, inputs, err := measure.LoadedEngine(2)
	if err != nil {
		return 0, err
	}
	e.Frames(500, inputs, true)
	b := testing.Benchmark(func(b *testing.B) {
		for range b.N {
			e.Frames(1, inputs, true)
		}
	})
	return float64(b.N) * program.FrameMS / 1000 / b.T.Seconds(), nil
}

const tableGoal = 20.0 // times

// size compares the code of every routine of the demo job with the same light as a table of full frames, one each 10 ms.
func size(context.Context, measure.Rig) (list []measure.Figure, err error) {
	_, compiled, err := measure.Demo(root)
	if err != nil {
		return nil, err
	}
	var all ratio
	shows := map[string]*ratio{}
	var names []string
	for _, m := range compiled.Modules {
		for _, l := range m.Layers {
			for _, one := range l.Routines {
				if one.Code.Ticks < 2 {
					continue // it sets its levels and is over
				}
				show := ratio{one.FrameBytes, len(one.Code.Code)}
				list = append(list, show.figure(fmt.Sprintf("module %s, %s, %s", m.Of.Name, l.Of.Name, one.Part), measure.Goal{}))
				if !l.Of.Show {
					continue
				}
				if shows[l.Of.Name] == nil {
					shows[l.Of.Name] = &ratio{}
					names = append(names, l.Of.Name)
				}
				shows[l.Of.Name].add(show)
				all.add(show)
			}
		}
	}
	goal := measure.Goal{Sense: measure.AtLeast, Limit: tableGoal}
	for _, name := range names {
		list = append(list, shows[name].figure("show "+name+" on all its modules", goal))
	}
	return append(list, all.figure("all shows of the demo job", goal)), nil
}

// ratio is the size of a routine as a table and as code, bytes.
type ratio struct{ table, code int }

func (r *ratio) add(more ratio) { r.table += more.table; r.code += more.code }

func (r ratio) figure(of string, goal measure.Goal) measure.Figure {
	return measure.Figure{Name: "full frames are larger by, " + of, Value: float64(r.table) / float64(r.code),
		Unit: fmt.Sprintf("times (%d bytes)", r.code), Goal: goal}
}

// panelJob is a job of one large lamp: four panels of LEDs in rows, each row a group, with a show of some seconds in which no two LEDs need
// be alike.
func panelJob(leds, rows, seconds int) []byte {
	var grids, wires []string
	for n := range 4 {
		grids = append(grids, fmt.Sprintf("{grid: {name: p%d, from: [%d, 0], to: [%d, 590], columns: %d, rows: %d, group: 1 row, part: red-622}}",
			n, n*500, n*500+490, (leds+4*rows-1)/(4*rows), rows))
		wires = append(wires, fmt.Sprintf("p%d: %d..%d", n, n*rows+1, n*rows+rows))
	}
	return fmt.Appendf(nil, `lampwright: 1
job: {title: Panel, use: show-only}
lamps:
  panel:
    place: {end: rear, side: centre, at: [0 mm, 900 mm]}
    leds: [%s]
modules: {one: {board: chain-64, lamp: panel, wiring: {%s}}}
inputs: {a: {wire: one.in1}}
routines:
  show:
    length: %d s
    strokes:
      - swing: {direction: outward, band: 200 mm, edge: 160 mm, for: 1 s, times: %d, easing: gentle}
      - scatter: {on: [p0, p1], for: 700 ms, each: 300 ms, times: %d, every: 1 s, meets: brighter}
shows: [{show: {input: a, stay: show}}]
`, strings.Join(grids, ", "), strings.Join(wires, ", "), seconds, seconds, seconds)
}

// slopeGoal is the greatest exponent of near-linear growth: doubling the size then takes 2.3 times as long.
const slopeGoal = 1.2

// growth shows how the time from document to HEX grows with the size of a lamp and with the length of a routine.
func growth(context.Context, measure.Rig) (list []measure.Figure, err error) {
	for _, g := range []struct {
		what, unit string
		sizes      []int
		text       func(n int) []byte
	}{
		{"LEDs", "LEDs in 60 groups, 4 s", []int{1000, 2000, 4000, 8000, 16_000}, func(n int) []byte { return panelJob(n, 15, 4) }},
		{"length", "s, 600 LEDs in 20 groups", []int{1, 2, 4, 8, 16}, func(n int) []byte { return panelJob(600, 5, n) }},
	} {
		var times []float64
		for _, n := range g.sizes {
			text := g.text(n)
			took, err := median(5, func() error { _, err := toHEX("panel.yaml", text); return err })
			if err != nil {
				return list, err
			}
			times = append(times, ms(took))
			list = append(list, measure.Figure{Name: fmt.Sprintf("document to HEX, %d %s", n, g.unit), Value: ms(took), Unit: "ms"})
		}
		last := len(times) - 1
		slope := math.Log(times[last]/times[0]) / math.Log(float64(g.sizes[last])/float64(g.sizes[0]))
		list = append(list, measure.Figure{Name: "growth with " + g.what + ": exponent", Value: slope, Unit: "1 is linear", Goal: measure.Goal{Sense: measure.AtMost, Limit: slopeGoal}})
	}
	return list, nil
}
