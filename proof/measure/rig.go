package measure

import (
	"context"
	"fmt"
	"math/rand/v2"
	"time"

	"lampwright/program"
	"lampwright/proof"
)

// Rig is where measures run.
type Rig struct {
	Cache string // folder for the compiled simulator, as proof.Setup.Cache
	Wide  int    // how many times more random phases than usual; 0 means 1
}

const (
	refreshTime = proof.CyclesARefresh * time.Second / proof.ClockHz
	frameTime   = program.RefreshesPerFrame * refreshTime
)

func (r Rig) times(n int) int { return n * max(r.Wide, 1) }

// dice gives the random numbers of one measure: the same in every run.
func dice(measure uint64) *rand.Rand { return rand.New(rand.NewPCG(measure, 2048)) }

// within draws a time from 0 up to, and not at, the given one.
func within(random *rand.Rand, d time.Duration) time.Duration {
	return time.Duration(random.Int64N(int64(d)))
}

// run carries out a setup of one module; judged runs are compared with the reference engine, word by word, and one that
// differs is an error: a figure of a core that is not the promised one is worth nothing.
func (r Rig) run(ctx context.Context, m proof.Module, events []proof.Event, length time.Duration, judged bool) (*proof.ModuleLog, error) {
	log, err := proof.Run(ctx, proof.Setup{Modules: []proof.Module{m}, Events: events, Length: length, Cache: r.Cache})
	if err != nil {
		return nil, err
	}
	one := &log.Modules[0]
	if len(one.Misdeeds) > 0 {
		return nil, fmt.Errorf("module %s, cycle %d: %v", m.Name, one.Misdeeds[0].Cycle, one.Misdeeds[0].Kind)
	}
	if judged {
		if err := sameAsEngine(log, 0); err != nil {
			return nil, err
		}
	}
	return one, nil
}

// sameAsEngine compares a module of a log with the reference engine on the bytes of its HEX file.
func sameAsEngine(log *proof.Log, module int) error {
	model, err := proof.ModelOf(log.Modules[module].Module)
	if err != nil {
		return err
	}
	if d := proof.Compare(log, module, model, proof.Core); len(d) > 0 {
		return fmt.Errorf("the core is not the engine's equal (%d differences or more), first: %v", len(d), d[0])
	}
	return nil
}

// begins gives the cycle at which the words of refresh i begin to shine, at the latest: its sample is taken while the last
// word of the refresh before shines, so that word's width after the sample.
func begins(m *proof.ModuleLog, i int) uint64 {
	r := m.Refreshes[i]
	if i > 0 && m.Refreshes[i-1].Boot == r.Boot {
		r = m.Refreshes[i-1]
	}
	if n := len(r.Slots); n > 0 {
		return m.Refreshes[i].Cycle + uint64(r.Slots[n-1].LitCycles)
	}
	return m.Refreshes[i].Cycle
}

// mask is a set of outputs, bit o%8 of byte o/8.
type mask [8]byte

func maskOf(outputs ...uint8) (m mask) {
	for _, o := range outputs {
		m[o/8] |= 1 << (o % 8)
	}
	return m
}

// full tells whether every output of the set shines in every word of a whole refresh.
func (m mask) full(r proof.Refresh) bool {
	if !r.Whole || len(r.Slots) == 0 {
		return false
	}
	for _, s := range r.Slots {
		for i, b := range m {
			if s.Word[i]&b != b || s.LitCycles <= 0 {
				return false
			}
		}
	}
	return true
}

// dark tells whether no output of the set shines in a refresh.
func (m mask) dark(r proof.Refresh) bool {
	for _, s := range r.Slots {
		for i, b := range m {
			if s.Word[i]&b != 0 && s.LitCycles > 0 {
				return false
			}
		}
	}
	return true
}

// spread is what is left of many times measured: how many, their mean and their greatest.
type spread struct {
	N    int
	Mean time.Duration
	Max  time.Duration
	sum  time.Duration
}

func (s *spread) add(d time.Duration) {
	s.N++
	s.sum += d
	s.Mean = s.sum / time.Duration(s.N)
	s.Max = max(s.Max, d)
}
