package compile

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"
	"strings"

	"lampwright/program"
	"lampwright/report"
)

// counts refuses a module whose program is more than its memory holds.
func (c *compiler) counts(out *Module) {
	m, before := out.Of, len(c.list)
	source := "memory of the module's processor"
	if n := len(out.Program.Layers); n > program.MaxLayers {
		c.list.Add(report.Errorf("limit", m.At, "module %q has too many signals and shows", m.Name).
			Because("each takes a place of its own, and so does each load for the car's lamp check").
			Against(fmt.Sprint(n), fmt.Sprint(program.MaxLayers), source).
			Do("let fewer of them take groups of lamp %s, or join two that hang on one input", m.Lamp.Name))
	}
	if out.Moving > program.MaxMoving {
		c.list.Add(report.Errorf("limit", m.At, "too many signals and shows of module %q move", m.Name).
			Against(fmt.Sprintf("%d: %s", out.Moving, strings.Join(out.movingNames(), ", ")), fmt.Sprint(program.MaxMoving), source).
			Do("let some hold their light without arrive and leave routines, or take no groups of lamp %s", m.Lamp.Name))
	}
	if most := out.MostFades(); out.Fades > most {
		why, next := "", ""
		if out.Fades <= program.MaxFades {
			why, next = fmt.Sprintf("; stream: true keeps the room of %d for streamed light", program.MaxFades-most), ", or take stream: out"
		}
		c.list.Add(report.Errorf("limit", m.At, "the moving signals and shows of module %q need too many fades", m.Name).
			Because("each needs one for every group that it takes: %s%s", strings.Join(out.fadeCounts(), ", "), why).
			Against(fmt.Sprint(out.Fades), fmt.Sprint(most), source).
			Do("let shows take fewer groups, make groups larger, or let signals hold still%s", next))
	}
	c.frames(out)
	if size := out.imageBytes(); size > program.MaxImageBytes && out.first() == out {
		c.list.Add(report.Errorf("limit", m.At, "the program of module %q is too large", m.Name).
			Because("the longest routines are %s", strings.Join(out.longestRoutines(), ", ")).
			Against(fmt.Sprintf("%d bytes", size), fmt.Sprintf("%d bytes", program.MaxImageBytes), source).
			Do("shorten these routines, let their strokes reach each group as one (by: group), scatter fewer groups, or let a pattern repeat exactly: a repeat costs almost nothing"))
	} else {
		c.waits(out)
	}
	out.refused = out.refused || c.list[before:].HasErrors()
}

// MostFades is how many fades the moving layers of a module may need.
func (m *Module) MostFades() int {
	if m.Program.Live {
		return program.MaxFadesLive
	}
	return program.MaxFades
}

// What a frame job costs in cycles of the module's processor, and how many it may take so that the frame is published in time.
// Source: measured on the simulated processor and rounded up (package proof/measure holds the estimate against it).
const (
	FrameCyclesMax = 46_500 // a frame is 64 000 cycles, of which the refresh interrupt takes about 17 000

	frameCycles      = 3_000 // whatever the layers do
	layerCycles      = 1_000 // a live layer
	stillSlotCycles  = 22
	movingSlotCycles = 60
	startCycles      = 60 // a fade started in the frame

	// restartTicks is how many ticks a follower takes in one frame when it restarts a linked show on the leader's mark: the mark's
	// age is at most 64 refreshes and a frame (docs/engine.md, section 6).
	restartTicks = 10
)

// JobCycles estimates the cycles of a frame job with so many live layers, slots of still and of moving layers, and fades that start in it.
func JobCycles(layers, still, moving, starts int) int {
	return frameCycles + layerCycles*layers + stillSlotCycles*still + movingSlotCycles*moving + startCycles*starts
}

// FrameCycles estimates the busiest frame job that a module could meet: all its layers live, each in its busiest tick, or in as many
// ticks as may fall in one frame where a flasher or the link wire hurries it. In live mode no show is live, and the streamed light
// counts like a still layer over all outputs.
func (m *Module) FrameCycles() int {
	all, signals := work{}, work{}
	for i := range m.Layers {
		l := &m.Program.Layers[i]
		one := work{layers: 1, starts: m.starts(i)}
		if l.Still != nil {
			one.still = len(l.Slots)
		} else {
			one.moving = len(l.Slots)
		}
		if all.add(one); !l.Show {
			signals.add(one)
		}
	}
	if m.Program.Live {
		signals.add(work{layers: 1, still: 8 * m.Program.Registers})
	}
	return max(all.cycles(), signals.cycles())
}

// work is what a frame job has to do.
type work struct{ layers, still, moving, starts int }

func (w *work) add(more work) {
	w.layers, w.still, w.moving, w.starts = w.layers+more.layers, w.still+more.still, w.moving+more.moving, w.starts+more.starts
}

func (w work) cycles() int { return JobCycles(w.layers, w.still, w.moving, w.starts) }

// starts is how many fades a layer may start in one frame at most.
func (m *Module) starts(layer int) int {
	worst := 0
	for _, r := range m.Layers[layer].Routines {
		ticks := 1
		switch {
		case r.Part == "arrive" && m.Program.Layers[layer].Pace >= 0:
			ticks = m.hurried(layer)
		case r.Part == "stay" && m.Program.Link == program.Follower && m.Program.Layers[layer].Linked:
			ticks = restartTicks
		}
		worst = max(worst, r.busiest(ticks))
	}
	return worst
}

// What a pacer does (docs/engine.md, section 5).
const (
	shortestOn  = 240 // refreshes: the shortest on-time that is believed
	endsEarly   = 10  // refreshes before the expected off edge
	mostHurried = 8   // ticks in a frame at the highest rate
)

// hurried is how many ticks a flasher-paced arrive takes in one frame at most: its ticks spread over the frames that are left of the
// shortest on-time once its input counts as on.
func (m *Module) hurried(layer int) int {
	p, l := m.Program, &m.Program.Layers[layer]
	wire := p.PacerInput[l.Pace]
	if l.InputMask != wire {
		return mostHurried // a wire that lights for the stop may have been on for long when the turn is found on it
	}
	age := int(m.Safe.On[bits.TrailingZeros8(wire)]) - 1
	if p.TurnFed {
		age = max(age, turnWaitFrames*program.RefreshesPerFrame)
	}
	frames := max((shortestOn-age-program.RefreshesPerFrame-endsEarly)/program.RefreshesPerFrame, 1)
	return min((pacedTicks+frames-1)/frames, mostHurried)
}

// frames refuses a module that could meet a frame job longer than it can publish in time.
func (c *compiler) frames(out *Module) {
	cycles := out.FrameCycles()
	if cycles <= FrameCyclesMax {
		return
	}
	var each []string
	for i, l := range out.Layers {
		if n := out.starts(i); n > 0 {
			each = append(each, fmt.Sprintf("%s %d", l.Of.Name, n))
		}
	}
	c.list.Add(report.Errorf("busy-frame", out.Of.At, "module %q may have more to do in one frame than it has time for", out.Of.Name).
		Because("were all its signals and shows to act together, it could not show the frame in time; fades that each may start at once: %s", strings.Join(each, ", ")).
		Against(fmt.Sprintf("%d cycles", cycles), fmt.Sprintf("%d cycles", FrameCyclesMax), "measured on the simulated processor").
		Do("let shows take fewer groups, spread their strokes over more time, or let signals hold still"))
}

// begins lists the ticks of events in order.
func begins(events []event) []int {
	out := make([]int, len(events))
	for i, e := range events {
		out[i] = e.tick
	}
	slices.Sort(out)
	return out
}

// busiest gives the most fades that begin within so many ticks in a row; after the last tick of a loop comes its first.
func (r *Routine) busiest(ticks int) (most int) {
	all := len(r.begins)
	at := func(i int) int { return r.begins[i%all] + i/all*r.Code.Ticks }
	for first, next := 0, 0; first < all; first++ {
		for next < first+all && (next < all || r.Code.Loops) && at(next) < at(first)+ticks {
			next++
		}
		most = max(most, next-first)
	}
	return most
}

func (m *Module) movingNames() (names []string) {
	for i, l := range m.Layers {
		if m.Program.Layers[i].Still == nil {
			names = append(names, l.Of.Name)
		}
	}
	return names
}

func (m *Module) fadeCounts() (counts []string) {
	for i, l := range m.Layers {
		if layer := &m.Program.Layers[i]; layer.Still == nil {
			counts = append(counts, fmt.Sprintf("%s %d", l.Of.Name, len(layer.Slots)))
		}
	}
	return counts
}

// longestRoutines names the largest routines of a module with their bytes, the largest first.
func (m *Module) longestRoutines() []string {
	type sized struct {
		name  string
		bytes int
	}
	var all []sized
	for _, l := range m.Layers {
		for _, r := range l.Routines {
			if r.Of != nil {
				all = append(all, sized{r.Of.Name, len(r.Code.Code)})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b sized) int { return cmp.Compare(b.bytes, a.bytes) })
	var out []string
	for _, s := range all[:min(len(all), 5)] {
		out = append(out, fmt.Sprintf("%s with %d bytes", s.name, s.bytes))
	}
	return out
}
