package measure

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/proof"
)

// DemoJob is the demo job, from the root of the source tree.
const DemoJob = "examples/pickup/pickup.yaml"

// Demo is the demo job, compiled. root is the root of the source tree.
func Demo(root string) (*kit.Kit, *compile.Result, error) {
	path := filepath.Join(root, DemoJob)
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, nil, fmt.Errorf("the demo job cannot be read: %w", err)
	}
	k, list := kit.Parse(path, text, kit.NoFiles)
	if k == nil {
		return nil, nil, fmt.Errorf("the demo job is faulty: %v", list)
	}
	r, list := compile.Compile(k, compile.Options{})
	if list.HasErrors() {
		return nil, nil, fmt.Errorf("the demo job is refused: %v", list)
	}
	return k, r, nil
}

// turner is a compiled module with a turn signal at the flasher's pace.
type turner struct {
	unit
	input       int   // 1..8
	layer       int   // index into the program
	first, last uint8 // outputs of the groups that light first and last
}

// turnUnit gives the module of the demo job whose turn signal is measured.
func turnUnit(root, module, signal string) (*turner, error) {
	k, r, err := Demo(root)
	if err != nil {
		return nil, err
	}
	m, ok := k.Module(module)
	if !ok {
		return nil, fmt.Errorf("the demo job has no module %q", module)
	}
	u, err := ship(r.Module(m), nil)
	if err != nil {
		return nil, err
	}
	t := &turner{unit: *u, layer: -1}
	for i, l := range u.program.Layers {
		if l.Name == signal {
			t.layer = i
		}
	}
	if t.layer < 0 {
		return nil, fmt.Errorf("module %q has no signal %q", module, signal)
	}
	l := u.program.Layers[t.layer]
	if l.Pace < 0 || l.Arrive == nil {
		return nil, fmt.Errorf("signal %q does not follow a flasher", signal)
	}
	for t.input = 1; l.InputMask != 1<<(t.input-1); t.input++ {
		if t.input > program.MaxInputs {
			return nil, fmt.Errorf("signal %q hangs on several inputs", signal)
		}
	}
	firstTick, lastTick := l.Arrive.Ticks+1, -1
	levels := program.PlayRoutine(l.Arrive, len(l.Slots))
	for slot, o := range l.Slots {
		lit, full := 0, 0
		for lit < len(levels) && levels[lit][slot] == 0 {
			lit++
		}
		for full < len(levels) && levels[full][slot] != program.FullLevel {
			full++
		}
		if full == len(levels) {
			return nil, fmt.Errorf("signal %q: output %d never comes to full light", signal, o+1)
		}
		if lit < firstTick {
			firstTick, t.first = lit, o
		}
		if full > lastTick {
			lastTick, t.last = full, o
		}
	}
	return t, nil
}

// Turn is how soon the first group of a turn signal shines, over random phases.
type Turn struct {
	Module  string
	Flasher string // in words
	Latency spread // from the edge at the pin to the begin of the first refresh in which the first group shines
}

const (
	turnGoalMS = 12.0
)

type turnFlasher struct {
	name    string
	on, off time.Duration
	phases  int
}

// turnFlashers are the flashers of the measure. One that is on for less than 120 ms is never learned: every flash of it is a first
// one. The slowest legal one stretches the sweep the most.
var turnFlashers = []turnFlasher{
	{"first flash", 100 * time.Millisecond, 60 * time.Millisecond, 300},
	{"120 flashes a minute, 50 % on", 250 * time.Millisecond, 250 * time.Millisecond, 40},
	{"60 flashes a minute, 60 % on", 600 * time.Millisecond, 400 * time.Millisecond, 40},
}

// Turn measures a module of the demo job under the flashers.
func (r Rig) Turn(ctx context.Context, root, module, signal string) ([]Turn, error) {
	t, err := turnUnit(root, module, signal)
	if err != nil {
		return nil, err
	}
	var all []Turn
	for _, f := range turnFlashers {
		out := Turn{Module: module, Flasher: f.name}
		for batch := range r.times(1) {
			if err := out.press(ctx, r, t, f, dice(uint64(12+batch))); err != nil {
				return nil, err
			}
		}
		all = append(all, out)
	}
	return all, nil
}

// press adds a run of a flasher's flashes.
func (out *Turn) press(ctx context.Context, r Rig, t *turner, f turnFlasher, random *rand.Rand) error {
	var events []proof.Event
	var edges []time.Duration
	at := 200 * time.Millisecond
	for range f.phases {
		on := at + within(random, 4*time.Millisecond)
		edges = append(edges, on)
		events = append(events, proof.Input(on, 0, t.input, true), proof.Input(on+f.on, 0, t.input, false))
		at += f.on + f.off
	}
	m, err := r.run(ctx, t.Module, events, at, true)
	if err != nil {
		return err
	}
	group := maskOf(t.first)
	i := 1
	for n, edge := range edges {
		for m.At(begins(m, i)) < edge {
			i++
		}
		if !group.dark(m.Refreshes[i-1]) {
			return fmt.Errorf("flash %d: the first group shines before the edge", n)
		}
		for ; group.dark(m.Refreshes[i]); i++ {
			if m.Since(m.Refreshes[i]) > edge+f.on {
				return fmt.Errorf("flash %d: the first group does not shine", n)
			}
		}
		out.Latency.add(m.At(begins(m, i)) - edge)
	}
	return nil
}

// Figures gives the latency as figures.
func (t Turn) Figures() []Figure {
	what := fmt.Sprintf("%s, %s", t.Module, t.Flasher)
	return []Figure{
		{"turn latency to first light, longest, " + what, inMS(t.Latency.Max), fmt.Sprintf("ms of %d phases", t.Latency.N), atMost(turnGoalMS)},
		{"turn latency to first light, mean, " + what, inMS(t.Latency.Mean), "ms", Goal{}},
	}
}
