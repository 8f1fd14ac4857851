package measure

import (
	"context"
	"fmt"
	"time"

	"lampwright/proof"
)

// Reset is how soon a held stop input is lit after a start, the start-up of the crystal included.
type Reset struct {
	Board    string
	PowerOn  spread        // from power-on
	Watchdog spread        // from the reset by the watchdog, with the main loop hung
	Gap      time.Duration // longest time without a wholly lit refresh that the watchdog's reset tore
	Hung     spread        // from the hang of the main loop to the reset
}

const (
	resetTries = 20
	resetGoal  = 20.0 // ms
)

// Reset measures a board. What hangs the main loop is still there after the reset: the light is then the interrupt's alone.
func (r Rig) Reset(ctx context.Context, boardName string) (Reset, error) {
	u, lit, hangs, err := stopUnit(boardName, 3)
	if err != nil {
		return Reset{}, err
	}
	random := dice(9)
	out := Reset{Board: boardName}
	for n := range r.times(resetTries) {
		where := hangs[n%2]
		hang := 300*time.Millisecond + within(random, 20*time.Millisecond)
		events := []proof.Event{proof.Input(0, 0, stopWire, true), proof.Input(0, 0, showWire, true), proof.FlashWord(hang, 0, where.address, opHang)}
		m, err := r.run(ctx, u.Module, events, hang+100*time.Millisecond, false)
		if err != nil {
			return Reset{}, err
		}
		if len(m.Boots) != 2 || m.Boots[1].Cause != proof.CauseWatchdog {
			return Reset{}, fmt.Errorf("try %d: %d starts where the watchdog should have made the second", n, len(m.Boots))
		}
		last := time.Duration(0) // end of the last wholly lit refresh before the reset
		for boot, s := range []*spread{&out.PowerOn, &out.Watchdog} {
			start := m.At(m.Boots[boot].Cycle)
			first, ok := time.Duration(0), false
			for i := range m.Refreshes {
				if m.Refreshes[i].Boot != boot || !lit.full(m.Refreshes[i]) {
					continue
				}
				if first, ok = m.At(begins(m, i)), true; boot == 1 {
					break
				}
				last = first + refreshTime
				if s.N == n {
					s.add(first - start)
				}
			}
			if !ok {
				return Reset{}, fmt.Errorf("try %d: the stop lamp is not lit after start %d", n, boot+1)
			}
			if boot == 1 {
				s.add(first - start)
				out.Gap = max(out.Gap, first-last)
				out.Hung.add(start - hang)
			}
		}
	}
	return out, nil
}

// Figures gives the times as figures.
func (r Reset) Figures() []Figure {
	return []Figure{
		{"power-on to stop light, longest, " + r.Board, inMS(r.PowerOn.Max), "ms", below(resetGoal)},
		{"watchdog reset to stop light, longest, " + r.Board, inMS(r.Watchdog.Max), fmt.Sprintf("ms of %d resets", r.Watchdog.N), below(resetGoal)},
		{"stop light missing around a watchdog reset, longest, " + r.Board, inMS(r.Gap), "ms", below(resetGoal)},
		{"main loop hung until the watchdog resets, longest, " + r.Board, inMS(r.Hung.Max), "ms", Goal{}},
	}
}
