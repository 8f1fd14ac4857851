package measure

import (
	"context"
	"fmt"
	"time"

	"lampwright/compile"
	"lampwright/program"
	"lampwright/proof"
)

// Load is how busy a 64-output module is while routines fade all its outputs and four inputs chatter.
type Load struct {
	What        string
	Mean        float64 // share of all cycles not spent asleep, 0..1
	WorstFrame  float64 // the same of the worst eight refreshes in a row
	Interrupt   float64 // share of all cycles spent in the refresh interrupt
	LongestRun  int     // of the interrupt, cycles, entry and return included
	LowestStack uint16  // lowest stack pointer, a data address
	Frames      int
	MeanGoal    Goal               // of the mean: half of the processor with two routines; none for more
	Estimate    int                // cycles that the compiler foresees for the busiest frame job
	Differences []proof.Difference // from the engine: a frame that was published late differs
	Restarts    int                // by the watchdog
}

const (
	loadLength   = 8 * time.Second
	chatterEvery = 700 * time.Microsecond // no filter lets it pass, and all are at work
	refreshIRQ   = 11                     // vector of timer 1, compare A
	frameCycles  = proof.CyclesARefresh * program.RefreshesPerFrame
)

// chatterWires carry nothing but chatter, and pacedWires the flashers of the fullest module.
var (
	chatterWires = []int{tailWire, fullWire, 6, 7}
	pacedWires   = [program.MaxPacers]int{turnWire, 8}
)

// Load measures a module on which so many routines, 0 to 3, fade all 64 outputs, from one random level to the next in 8 frames:
// staggered, or with all fades of all routines beginning in the same frame.
func (r Rig) Load(ctx context.Context, routines int, burst bool) (Load, error) {
	u, err := loaded("chain-64", routines, burst)
	if err != nil {
		return Load{}, err
	}
	what := fmt.Sprintf("%d routines on 64 outputs", routines)
	if burst {
		what += ", burst"
	}
	l, err := r.load(ctx, what, u, nil)
	if routines == 2 {
		l.MeanGoal = atMost(50)
	}
	return l, err
}

// Fullest measures the fullest module that there can be: twelve layers that are all live, eight of them moving, with 192 fades,
// of which so many begin in the same frame; the stop lamp comes and goes, and two flashers are measured.
func (r Rig) Fullest(ctx context.Context, starts int) (Load, error) {
	u, err := fullest(starts)
	if err != nil {
		return Load{}, err
	}
	random := dice(13)
	var events []proof.Event
	for _, in := range []int{stopWire, pacedWires[0], pacedWires[1]} {
		for at, high := 200*time.Millisecond, true; at < loadLength; high = !high {
			events = append(events, proof.Input(at, 0, in, high))
			at += 150*time.Millisecond + within(random, 20*time.Millisecond)
		}
	}
	return r.load(ctx, fmt.Sprintf("12 layers, 8 moving, 192 fades, %d at once", starts), u, events)
}

// load runs a module with its shows on, while four inputs chatter that mean nothing to it.
func (r Rig) load(ctx context.Context, what string, u *unit, events []proof.Event) (Load, error) {
	events = append(events, proof.Input(20*time.Millisecond, 0, showWire, true))
	for at, high := 100*time.Millisecond, true; at < loadLength; at, high = at+chatterEvery, !high {
		for _, in := range chatterWires {
			events = append(events, proof.Input(at, 0, in, high))
		}
	}
	log, err := proof.Run(ctx, proof.Setup{Modules: []proof.Module{u.Module}, Events: events, Length: loadLength, Cache: r.Cache})
	if err != nil {
		return Load{}, err
	}
	model, err := proof.ModelOf(u.Module)
	if err != nil {
		return Load{}, err
	}
	m := log.Modules[0]
	out := Load{
		What: what, Mean: m.Load.Busy(), WorstFrame: float64(m.Load.WorstFrameBusy) / frameCycles,
		LowestStack: m.Load.LowestStack, Frames: len(m.Refreshes) / program.RefreshesPerFrame, Restarts: len(m.Boots) - 1,
		Differences: proof.Compare(log, 0, model, proof.Core),
	}
	still, moving := 0, 0
	for _, l := range u.program.Layers {
		if l.Still != nil {
			still += len(l.Slots)
		} else {
			moving += len(l.Slots)
		}
	}
	out.Estimate = compile.JobCycles(len(u.program.Layers), still, moving, moving)
	for _, i := range m.Load.Interrupts {
		if i.Vector == refreshIRQ {
			out.Interrupt = float64(i.Total) / float64(m.Load.Cycles)
			out.LongestRun = int(i.Most)
		}
	}
	return out, nil
}

// Job is how long the busiest frame job took, cycles: what the refresh interrupt and sleep left of its frame.
func (l Load) Job() int { return int((l.WorstFrame - l.Interrupt) * frameCycles) }

// Figures gives the load as figures. The goal of the worst frame is below 100 %: one that is not done in time is not published
// in time.
func (l Load) Figures() []Figure {
	what := l.What
	return []Figure{
		{"busy, mean, " + what, 100 * l.Mean, "%", l.MeanGoal},
		{"busy, worst frame, " + what, 100 * l.WorstFrame, "%", below(100)},
		{"interrupt load, " + what, 100 * l.Interrupt, "%", Goal{}},
		{"longest interrupt, " + what, float64(l.LongestRun), "cycles", Goal{}},
		{"differences from the engine (frames late), " + what, float64(len(l.Differences)), fmt.Sprintf("in %d frames, 20 are listed", l.Frames), none},
		{"restarts by the watchdog, " + what, float64(l.Restarts), "", none},
	}
}

// Dark is for what share of a refresh an output that is wholly on is dark, 0..1.
type Dark struct {
	Board        string
	Forced       float64 // by the stop override, worst refresh
	Level        float64 // at level 255, mean over frames: slot S is dark in one refresh of eight
	WorstRefresh float64 // at level 255, worst refresh
}

// Dark measures it on a board, from the lit cycles of every refresh.
func (r Rig) Dark(ctx context.Context, boardName string) (Dark, error) {
	u, err := plain(boardName, nil)
	if err != nil {
		return Dark{}, err
	}
	m, err := r.run(ctx, u.Module, []proof.Event{proof.Input(0, 0, stopWire, true), proof.Input(0, 0, fullWire, true)}, time.Second, true)
	if err != nil {
		return Dark{}, err
	}
	stop, err := u.outputs("stop")
	if err != nil {
		return Dark{}, err
	}
	full, err := u.outputs("reverse")
	if err != nil {
		return Dark{}, err
	}
	out := Dark{Board: boardName}
	forced, level := firstOf(stop), firstOf(full)
	const settled = 200 // refreshes
	n := 0
	for i := settled; i+2 < len(m.Refreshes); i++ { // the last refresh but one lost the end of its light
		period := float64(m.Refreshes[i+1].Cycle - m.Refreshes[i].Cycle)
		if period > 1.01*proof.CyclesARefresh || period < 0.99*proof.CyclesARefresh {
			return Dark{}, fmt.Errorf("refresh %d of module %s takes %.0f cycles", i, u.Name, period)
		}
		f, l := 0, 0
		for _, s := range m.Refreshes[i].Slots {
			if s.Lit(forced) {
				f += s.LitCycles
			}
			if s.Lit(level) {
				l += s.LitCycles
			}
		}
		out.Forced = max(out.Forced, 1-float64(f)/proof.CyclesARefresh)
		dark := 1 - float64(l)/proof.CyclesARefresh
		out.WorstRefresh = max(out.WorstRefresh, dark)
		out.Level += dark
		n++
	}
	out.Level /= float64(max(n, 1))
	return out, nil
}

func firstOf(m mask) int {
	for o := range 64 {
		if m[o/8]>>(o%8)&1 == 1 {
			return o
		}
	}
	return 0
}

// Figures gives the dark shares as figures.
func (d Dark) Figures() []Figure {
	return []Figure{
		{"dark share of a refresh, stop override, " + d.Board, 100 * d.Forced, "%", atMost(6)},
		{"dark share, level 255, mean, " + d.Board, 100 * d.Level, "%", atMost(6)},
		{"dark share, level 255, worst refresh, " + d.Board, 100 * d.WorstRefresh, "%", atMost(6)},
	}
}
