package measure

import (
	"context"
	"fmt"
	"math/rand/v2"
	"time"

	"lampwright/proof"
)

// StopCase is what a module does when its stop input comes on.
type StopCase string

const (
	StopIdle StopCase = "nothing else lit"
	StopShow StopCase = "while a show fades every output"
	StopHung StopCase = "main loop hung"
)

// Stop is the latency of a stop lamp over many random phases of edge against refresh and frame.
type Stop struct {
	Board    string
	Case     StopCase
	Latency  spread // from the edge at the pin to the begin of the first refresh in which all stop outputs are wholly lit
	Release  spread // from the edge to the begin of the first refresh in which all are dark; N is 0 where a show goes on below
	Restarts int    // by the watchdog
}

const (
	stopPhases  = 1000
	stopHeld    = 14 * time.Millisecond
	stopPeriod  = 56 * time.Millisecond // from press to press; a release is over by then
	stopScatter = 16 * time.Millisecond // of the phase: four frames
	hangBefore  = 10 * time.Millisecond // the loop is hung so long before the earliest edge: two frames and more
	hangFor     = 44 * time.Millisecond // and is let go again before the watchdog bites, 60 ms after the last frame job
)

// Stop measures a board in one case. The runs in which nothing hangs are compared with the engine word by word.
func (r Rig) Stop(ctx context.Context, boardName string, when StopCase) (Stop, error) {
	routines := 3
	if when == StopIdle {
		routines = 0
	}
	u, lit, hangs, err := stopUnit(boardName, routines)
	if err != nil {
		return Stop{}, err
	}
	out := Stop{Board: boardName, Case: when}
	for batch := range r.times(1) {
		err := out.press(ctx, r, u, lit, dice(uint64(5+batch)), hangs)
		if err != nil {
			return Stop{}, err
		}
	}
	return out, nil
}

// press adds a run of 1000 presses. The main loop is made to hang at two places by turns.
func (out *Stop) press(ctx context.Context, r Rig, u *unit, lit mask, random *rand.Rand, hang [2]patch) error {
	when := out.Case
	events := []proof.Event{proof.Input(10*time.Millisecond, 0, showWire, true)}
	type press struct{ on, off, hungFrom, hungTo time.Duration }
	var presses []press
	from := 400 * time.Millisecond // the longest image has been checked by then
	for n := range stopPhases {
		on := from + hangBefore + within(random, stopScatter)
		p := press{on: on, off: on + stopHeld}
		events = append(events, proof.Input(p.on, 0, stopWire, true), proof.Input(p.off, 0, stopWire, false))
		if when == StopHung {
			where := hang[n%2]
			p.hungFrom, p.hungTo = from, from+hangFor
			events = append(events, proof.FlashWord(p.hungFrom, 0, where.address, opHang), proof.FlashWord(p.hungTo, 0, where.address, where.word))
		}
		presses = append(presses, p)
		from += stopPeriod
	}
	m, err := r.run(ctx, u.Module, events, from+20*time.Millisecond, when != StopHung)
	if err != nil {
		return err
	}
	out.Restarts += len(m.Boots) - 1
	at := 1
	for n, p := range presses {
		for m.At(begins(m, at)) < p.on {
			at++
		}
		if lit.full(m.Refreshes[at-1]) {
			return fmt.Errorf("press %d: the stop lamp is lit before it is pressed", n)
		}
		for ; !lit.full(m.Refreshes[at]); at++ {
			if m.Since(m.Refreshes[at]) > p.off {
				return fmt.Errorf("press %d at %v: the stop lamp is not lit before the release", n, p.on)
			}
		}
		out.Latency.add(m.At(begins(m, at)) - p.on)
		if when == StopHung {
			if err := stands(m, lit, p.hungFrom+hangBefore, p.hungTo); err != nil {
				return err
			}
		}
		if when == StopShow || when == StopHung {
			continue
		}
		for m.At(begins(m, at)) < p.off {
			at++
		}
		for ; !lit.dark(m.Refreshes[at]); at++ {
			if m.Since(m.Refreshes[at]) > p.on+stopPeriod {
				return fmt.Errorf("press %d at %v: the stop lamp is not dark again", n, p.on)
			}
		}
		out.Release.add(m.At(begins(m, at)) - p.off)
	}
	return nil
}

// stands tells whether the light of a module's other outputs stands still in a time, as it must while its main loop hangs.
func stands(m *proof.ModuleLog, but mask, from, to time.Duration) error {
	var before *proof.Refresh
	seen := 0
	for i := range m.Refreshes[1:] {
		r := &m.Refreshes[i+1]
		at := m.Since(*r)
		if at < from {
			continue
		}
		if at > to {
			break
		}
		if before != nil {
			for k := 2; k < len(r.Slots) && k < len(before.Slots); k++ { // slot 1 goes through the phases of a frame
				for b := range but {
					if (r.Slots[k].Word[b]^before.Slots[k].Word[b])&^but[b] != 0 {
						return fmt.Errorf("the main loop does not hang: the light changes at %v", at)
					}
				}
			}
			seen++
		}
		before = r
	}
	if seen < 20 {
		return fmt.Errorf("only %d refreshes were seen while the main loop hung", seen)
	}
	return nil
}

// Goals of a stop lamp.
const (
	stopGoalMS = 5.0
	// releaseMS is calculated: 8 ms of filter, up to a refresh to its first sample, up to a frame to the snapshot, a frame for
	// the job, and the long word of the last refresh.
	releaseMS = 8 + 0.5 + 4 + 4 + 0.25
)

// Figures gives the latency as figures.
func (s Stop) Figures() []Figure {
	what := fmt.Sprintf("%s, %s", s.Board, s.Case)
	list := []Figure{
		{"stop latency, longest, " + what, inMS(s.Latency.Max), fmt.Sprintf("ms of %d phases", s.Latency.N), atMost(stopGoalMS)},
		{"stop latency, mean, " + what, inMS(s.Latency.Mean), "ms", Goal{}},
		{"restarts while it was measured, " + what, float64(s.Restarts), "", none},
	}
	if s.Release.N > 0 {
		list = append(list, Figure{"stop release to dark, longest, " + what, inMS(s.Release.Max), "ms", atMost(releaseMS)},
			Figure{"stop release to dark, mean, " + what, inMS(s.Release.Mean), "ms", Goal{}})
	}
	return list
}
