package measure

import (
	"context"
	"fmt"
	"time"

	"lampwright/program"
	"lampwright/proof"
)

// Sweep is one flash as it was seen: how long before the off edge the refresh begins that first shows the last group at full
// light. Early is negative, and Finished false, when that is not before the edge.
type Sweep struct {
	On       time.Duration // on-time of the flash
	Early    time.Duration
	Finished bool
}

// watcher finds the sweeps' ends while refreshes pass.
type watcher struct {
	on, off []time.Duration
	sweeps  []Sweep
	next    int  // flash whose end is looked for
	dark    bool // the last group was below full light in this flash
}

// see is told of each refresh, when its light begins and what level the last group has.
func (w *watcher) see(at time.Duration, level uint8) {
	for w.next < len(w.on)-1 && at >= w.on[w.next+1] {
		w.miss()
	}
	if w.next >= len(w.on) || at < w.on[w.next] {
		return
	}
	if level != program.FullLevel {
		w.dark = true
	} else if w.dark { // a light that is left of the flash before does not count
		early := w.off[w.next] - at
		w.sweeps = append(w.sweeps, Sweep{w.off[w.next] - w.on[w.next], early, early > 0})
		w.next++
		w.dark = false
	}
}

func (w *watcher) miss() {
	w.sweeps = append(w.sweeps, Sweep{On: w.off[w.next] - w.on[w.next], Early: -1})
	w.next++
	w.dark = false
}

// done gives the sweeps of all flashes.
func (w *watcher) done() []Sweep {
	for w.next < len(w.on) {
		w.miss()
	}
	return w.sweeps
}

const paceFrom = 200 * time.Millisecond // the image is live by then

// onEngine plays flashes to the engine. The sample of a refresh is taken late, while its last word shines; phase shifts the grid
// of refreshes against the flasher.
func (t *turner) onEngine(list []blink, phase time.Duration) ([]Sweep, error) {
	e, err := program.NewEngineFor(t.program, t.safe)
	if err != nil {
		return nil, err
	}
	on, off, end := edges(paceFrom, list)
	w := watcher{on: on, off: off}
	n := 0
	for at := phase; at < end; at += refreshTime {
		for n < len(on) && at >= off[n] {
			n++
		}
		in := uint8(0)
		if n < len(on) && at >= on[n] {
			in = 1 << (t.input - 1)
		}
		e.Step(in, true)
		shown := e.Shown()
		w.see(at+sampleToLight, shown.Levels[t.last])
	}
	return w.done(), nil
}

// sampleToLight is how long after its sample a refresh begins to shine, at the latest: the last word of a chain
// (firmware/avr/widths.h) shines for 3825 cycles, and the sample is taken in its first few.
const sampleToLight = 3825 * time.Second / proof.ClockHz

// onProcessor plays flashes to the HEX on the simulated processor, the first one phase later. Its words are compared with the engine's, so the engine can
// say which levels they show.
func (t *turner) onProcessor(ctx context.Context, r Rig, list []blink, phase time.Duration) ([]Sweep, error) {
	on, off, end := edges(paceFrom+phase, list)
	var events []proof.Event
	for i := range on {
		events = append(events, proof.Input(on[i], 0, t.input, true), proof.Input(off[i], 0, t.input, false))
	}
	m, err := r.run(ctx, t.Module, events, end, true)
	if err != nil {
		return nil, err
	}
	e, err := program.NewEngineFor(t.program, t.safe)
	if err != nil {
		return nil, err
	}
	w := watcher{on: on, off: off}
	for i, refresh := range m.Refreshes {
		e.Step(refresh.Inputs, refresh.Link)
		shown := e.Shown()
		w.see(m.At(begins(m, i)), shown.Levels[t.last])
	}
	return w.done(), nil
}

// Pace is how well sweeps meet the off edge of a flasher, from some flash on.
type Pace struct {
	What       string
	Flashes    int           // that were judged
	Unfinished int           // sweeps that did not end before the off edge
	Earliest   time.Duration // the longest that a finished sweep ended before the edge
	OverBound  int           // finished sweeps that ended sooner than the bound allows
	Bound      time.Duration // the greatest bound of all judged flashes
	steady     bool
}

// Bounds of a sweep's end.
const (
	steadyEarly = 5 * time.Millisecond
	jitterEarly = 40 * time.Millisecond
	jitter      = 0.05
)

// earlyBound is the most by which a sweep may end early under jitter: 40 ms, or twice the flasher's own scatter and a frame where
// that is more. 40 ms alone cannot be kept for on-times above 350 ms: what is predicted comes from flashes that are past, so it
// knows nothing of the scatter of the one that runs. To be unfinished in fewer than one flash in ten, a sweep must be set
// to end near the lower end T·(1 − j) of all on-times T·(1 ± j); a flash at the upper end is then still on for 2·j·T after it:
// with 5 % 40 ms at 400 ms, 60 ms at 600 ms. The frame is what the module itself needs (5 ms, as under a steady flasher).
func earlyBound(on time.Duration) time.Duration {
	return max(jitterEarly, time.Duration(2*jitter*float64(on))+steadyEarly)
}

// judge adds sweeps of a flasher with a mean on-time.
func (p *Pace) judge(sweeps []Sweep, on time.Duration) {
	bound := steadyEarly
	if !p.steady {
		bound = earlyBound(on)
	}
	p.Bound = max(p.Bound, bound)
	for _, s := range sweeps {
		p.Flashes++
		if !s.Finished {
			p.Unfinished++
			continue
		}
		p.Earliest = max(p.Earliest, s.Early)
		if s.Early > bound {
			p.OverBound++
		}
	}
}

// Figures gives the pace as figures.
func (p Pace) Figures() []Figure {
	unfinished := Figure{"sweeps unfinished, " + p.What, 100 * float64(p.Unfinished) / float64(p.Flashes), fmt.Sprintf("%% of %d", p.Flashes), below(10)}
	if p.steady {
		unfinished.Goal = none
	}
	return []Figure{
		unfinished,
		{"sweep ends before the off edge by at most, " + p.What, inMS(p.Earliest), "ms", atMost(inMS(p.Bound))},
		{"sweeps earlier than their bound, " + p.What, float64(p.OverBound), "", none},
	}
}

// From which flash on sweeps are judged, counted from 0.
const (
	steadyFrom = 2 // the third
	jitterFrom = 9 // the tenth
)

// PaceSteady plays steady flashers of 60, 90 and 120 flashes a minute, on for 40, 50 and 60 %, to the shipped HEX: from the third
// flash on the sweep must end within 5 ms before the off edge.
func (r Rig) PaceSteady(ctx context.Context, root string) ([]Pace, error) {
	t, err := turnUnit(root, "rear-lh", "turn-lh")
	if err != nil {
		return nil, err
	}
	var all []Pace
	random := dice(3)
	for _, rate := range flashRates {
		p := Pace{What: fmt.Sprintf("steady, %.0f a minute, on the processor", rate), steady: true}
		for _, share := range flashShares {
			f := Flasher{Rate: rate, Share: share}
			sweeps, err := t.onProcessor(ctx, r, f.flashes(nil, 25), within(random, frameTime))
			if err != nil {
				return nil, err
			}
			p.judge(sweeps[steadyFrom:], f.on())
		}
		all = append(all, p)
	}
	return all, nil
}

// PaceJitter plays flashers whose on-time scatters by 5 % either way, at all rates and shares, and one that steps from 90 to 100
// a minute: hundreds of flashes each to the engine, and 25 of each rate to the shipped HEX, compared word by word.
func (r Rig) PaceJitter(ctx context.Context, root string) ([]Pace, error) {
	t, err := turnUnit(root, "rear-lh", "turn-lh")
	if err != nil {
		return nil, err
	}
	var all []Pace
	for _, rate := range flashRates {
		for _, share := range flashShares {
			p := Pace{What: fmt.Sprintf("jitter 5 %%, %.0f a minute, %.0f %% on", rate, 100*share)}
			f := Flasher{Rate: rate, Share: share, Jitter: jitter}
			for seed := range r.times(8) {
				random := dice(uint64(100 + seed))
				sweeps, err := t.onEngine(f.flashes(random, 70), within(random, refreshTime))
				if err != nil {
					return nil, err
				}
				p.judge(sweeps[jitterFrom:], f.on())
			}
			all = append(all, p)
		}
		p := Pace{What: fmt.Sprintf("jitter 5 %%, %.0f a minute, 50 %% on, on the processor", rate)}
		f := Flasher{Rate: rate, Share: 0.5, Jitter: jitter}
		sweeps, err := t.onProcessor(ctx, r, f.flashes(dice(7), jitterFrom+25), 0)
		if err != nil {
			return nil, err
		}
		p.judge(sweeps[jitterFrom:], f.on())
		all = append(all, p)
	}
	const before = 20 // flashes at 90 a minute
	for _, scatter := range []float64{0, jitter} {
		p := Pace{What: fmt.Sprintf("step from 90 to 100 a minute, jitter %.0f %%", 100*scatter), steady: scatter == 0}
		for seed := range r.times(20) {
			random := dice(uint64(200 + seed))
			to := Flasher{Rate: 100, Share: 0.5, Jitter: scatter}
			list := append(Flasher{Rate: 90, Share: 0.5, Jitter: scatter}.flashes(random, before), to.flashes(random, 50)...)
			sweeps, err := t.onEngine(list, within(random, refreshTime))
			if err != nil {
				return nil, err
			}
			p.judge(sweeps[before+jitterFrom:], to.on())
		}
		all = append(all, p)
	}
	return all, nil
}

// oddFlashes are what may happen to a steady flasher once, as the flashes that come in place of one.
func oddFlashes(f blink) []struct {
	what string
	list []blink
} {
	part := func(on, off float64) blink {
		return blink{time.Duration(on * float64(f.on)), time.Duration(off * float64(f.off))}
	}
	return []struct {
		what string
		list []blink
	}{
		{"half a second without the wire", []blink{{f.on, f.off + 500*time.Millisecond}}},
		{"half a second without the wire, in the middle of a flash", []blink{{f.on / 2, 500 * time.Millisecond}, {f.on / 2, f.off}}},
		{"lever let go half way", []blink{part(0.5, 1.5)}},
		{"a flash half as long again", []blink{part(1.5, 1)}},
		{"a flash a tenth shorter", []blink{part(0.9, 1)}},
	}
}

// PaceOdd plays one odd event in a steady flasher to the shipped HEX: from the second flash after it on, sweeps must end
// within 5 ms before the off edge again.
func (r Rig) PaceOdd(ctx context.Context, root string) ([]Pace, error) {
	t, err := turnUnit(root, "rear-lh", "turn-lh")
	if err != nil {
		return nil, err
	}
	var all []Pace
	random := dice(4)
	f := Flasher{Rate: 90, Share: 0.5}
	steady := f.flashes(nil, 8)
	for _, odd := range oddFlashes(steady[0]) {
		p := Pace{What: "after " + odd.what, steady: true}
		list := append(append(append([]blink{}, steady...), odd.list...), steady...)
		sweeps, err := t.onProcessor(ctx, r, list, within(random, frameTime))
		if err != nil {
			return nil, err
		}
		p.judge(sweeps[len(steady)+len(odd.list)+1:], f.on())
		all = append(all, p)
	}
	return all, nil
}
