package program

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// flasher makes the on and off times of a simulated flasher, in seconds.
type flasher struct {
	perMinute float64
	share     float64 // of the period that is on
	jitter    float64 // the on-time is uniform within this share of it, either way
	random    *rand.Rand
}

func (f *flasher) next() (on, off float64) {
	period := 60 / f.perMinute
	on = period * f.share
	return on * (1 + f.jitter*(2*f.random.Float64()-1)), period - on
}

// swept is one flash as it was seen: how long before the off edge the sweep's last tick was first shown, in seconds
// (negative: after it, or never, which is −1).
type swept struct{ early, on float64 }

// sweepTicks is the length of the arrive routine of turnModule.
const sweepTicks = 40

// turnModule is a module whose turn signal on in3 lights output 1 in the last tick of its sweep.
func turnModule(tb testing.TB) *Engine {
	tb.Helper()
	var c Coder
	c.Over(sweepTicks)
	c.Fade(0, 255)
	c.Wait(sweepTicks)
	c.Over(0)
	c.Fade(1, 255)
	arrive, err := c.End()
	if err != nil {
		tb.Fatal(err)
	}
	c = Coder{}
	c.Span(0, 2, 255)
	stay, err := c.End()
	if err != nil {
		tb.Fatal(err)
	}
	p := &Program{Registers: 1, PacerInput: [2]uint8{4, 0}, Layers: []Layer{
		{Pace: 0, InputMask: 4, Slots: []uint8{0, 1}, Arrive: arrive, Stay: stay},
	}}
	e, err := NewEngineFor(p, &Safe{Registers: 1, On: [8]uint8{7, 7, 7, 7, 7, 7, 7, 7}, Off: [8]uint8{16, 16, 16, 16, 16, 16, 16, 16}})
	if err != nil {
		tb.Fatal(err)
	}
	e.Frames(10, 0, true)
	return e
}

// watch runs flashes given as on and off times, in seconds, and sees where each sweep ends. late is where in its refresh a
// sample is taken, 0..1.
func watch(e *Engine, late float64, flashes [][2]float64) (seen []swept) {
	const refresh = 0.0005
	at, edge := 0.0, 0.0 // now, and the flash's on edge
	for _, f := range flashes {
		off, end := edge+f[0], edge+f[0]+f[1]
		s := swept{early: -1, on: f[0]}
		lit := false
		for ; at < end; at += refresh {
			if !lit && at > edge+0.03 && e.Shown().Levels[1] == 255 { // the last flash is over by then
				lit, s.early = true, off-at
			}
			in := uint8(0)
			if sample := at + late*refresh; sample >= edge && sample < off {
				in = 4
			}
			e.Step(in, true)
		}
		seen = append(seen, s)
		edge = end
	}
	return seen
}

// shares and rates are what vehicle regulations allow a flasher: 60 to 120 a minute (SAE J590, UN R48), on for 40 to 60 %
// in these tests.
var (
	rates  = []float64{60, 90, 120}
	shares = []float64{0.4, 0.5, 0.6}
)

// steadyBound is how long before the off edge a sweep at a steady flasher may end: a frame, and two refreshes for the
// edges that fall between samples.
const steadyBound = 0.005 // seconds

func TestPaceSteady(t *testing.T) {
	for _, rate := range rates {
		for _, share := range shares {
			for _, late := range []float64{0.5, 0.8, 0.95} {
				f := flasher{perMinute: rate, share: share, random: rand.New(rand.NewPCG(1, 2))}
				var flashes [][2]float64
				for range 25 {
					on, off := f.next()
					flashes = append(flashes, [2]float64{on, off})
				}
				for i, s := range watch(turnModule(t), late, flashes)[2:] {
					if s.early < 0 || s.early > steadyBound {
						t.Errorf("%.0f a minute, %.0f %% on, sampled at %.2f: flash %d ends %.2f ms before the off edge", rate, 100*share, late, i+3, s.early*1000)
					}
				}
			}
		}
	}
}

// judge counts the unfinished among flashes and checks the early side of the others against the bound for jitter j.
func judge(t *testing.T, what string, seen []swept, mean, j float64) (unfinished int) {
	t.Helper()
	bound := max(0.040, 2*j*mean+0.005)
	for _, s := range seen {
		if s.early < 0 {
			unfinished++
		} else if s.early > bound {
			t.Errorf("%s: a sweep ends %.1f ms before the off edge, bound %.1f ms", what, s.early*1000, bound*1000)
		}
	}
	return unfinished
}

func TestPaceJitter(t *testing.T) {
	const jitter, perRun, settled = 0.05, 60, 9 // judged from the tenth flash on
	for _, rate := range rates {
		for _, share := range shares {
			unfinished, flashesSeen := 0, 0
			for seed := range uint64(8) {
				f := flasher{perMinute: rate, share: share, jitter: jitter, random: rand.New(rand.NewPCG(seed, 77))}
				var flashes [][2]float64
				for range perRun {
					on, off := f.next()
					flashes = append(flashes, [2]float64{on, off})
				}
				seen := watch(turnModule(t), 0.8, flashes)[settled:]
				unfinished += judge(t, fmt.Sprintf("%.0f a minute, %.0f %% on", rate, 100*share), seen, 60/rate*share, jitter)
				flashesSeen += len(seen)
			}
			t.Logf("%.0f a minute, %.0f %% on: %d of %d sweeps unfinished", rate, 100*share, unfinished, flashesSeen)
			if 10*unfinished >= flashesSeen {
				t.Errorf("%.0f a minute, %.0f %% on: %d of %d sweeps unfinished, allowed fewer than 10 %%", rate, 100*share, unfinished, flashesSeen)
			}
		}
	}
}

func TestPaceStep(t *testing.T) {
	for _, jitter := range []float64{0, 0.05} {
		unfinished, flashesSeen := 0, 0
		for seed := range uint64(20) {
			f := flasher{perMinute: 90, share: 0.5, jitter: jitter, random: rand.New(rand.NewPCG(seed, 5))}
			var flashes [][2]float64
			for i := range 70 {
				if i == 20 {
					f.perMinute = 100
				}
				on, off := f.next()
				flashes = append(flashes, [2]float64{on, off})
			}
			seen := watch(turnModule(t), 0.8, flashes)[29:] // from the tenth flash after the step
			unfinished += judge(t, fmt.Sprintf("90 to 100 a minute, jitter %.0f %%", 100*jitter), seen, 0.3, jitter)
			flashesSeen += len(seen)
		}
		t.Logf("90 to 100 a minute, jitter %.0f %%: %d of %d sweeps unfinished", 100*jitter, unfinished, flashesSeen)
		if 10*unfinished >= flashesSeen {
			t.Errorf("90 to 100 a minute, jitter %.0f %%: %d of %d sweeps unfinished", 100*jitter, unfinished, flashesSeen)
		}
	}
}

func TestPaceOddFlash(t *testing.T) {
	for _, odd := range []struct {
		name  string
		parts [][2]float64 // instead of one flash, as shares of the steady on and off times
	}{
		{"lever let go half way", [][2]float64{{0.5, 1.5}}},
		{"a third of a flash", [][2]float64{{0.33, 1}}},
		{"a flash half as long again", [][2]float64{{1.5, 1}}},
		{"a dropout of 40 ms in the middle", [][2]float64{{0.45, 0.12}, {0.43, 1}}},
		{"a flash a tenth shorter", [][2]float64{{0.9, 1}}},
		{"a flash an eighth shorter", [][2]float64{{0.88, 1}}},
		{"a flash a tenth longer", [][2]float64{{1.1, 1}}},
		{"a missing flash", [][2]float64{{1, 3}}},
		{"two odd flashes", [][2]float64{{0.6, 1}, {0.6, 1}}},
		{"much longer, then odd", [][2]float64{{2.5, 1}, {0.7, 1}}},
	} {
		for _, rate := range rates {
			on, off := 0.5*60/rate, 0.5*60/rate
			steady := func(n int) (f [][2]float64) {
				for range n {
					f = append(f, [2]float64{on, off})
				}
				return f
			}
			flashes := steady(15)
			for _, p := range odd.parts {
				flashes = append(flashes, [2]float64{p[0] * on, p[1] * off})
			}
			resume := len(flashes) + 1 // two flashes later
			flashes = append(flashes, steady(12)...)
			for i, s := range watch(turnModule(t), 0.8, flashes)[resume:] {
				if s.early < 0 || s.early > steadyBound {
					t.Errorf("%s at %.0f a minute: flash %d after it ends %.1f ms before the off edge", odd.name, rate, i+2, s.early*1000)
				}
			}
		}
	}
}

// The first flash has nothing to go by: its sweep ends within the shortest legal on-time, 150 ms: 40 % of the period at
// 160 a minute, or 30 % at 120 (from memory).
func TestPaceFirstFlash(t *testing.T) {
	s := watch(turnModule(t), 0.8, [][2]float64{{0.150, 0.2}})[0]
	if s.early < 0 || s.early > 0.025 {
		t.Errorf("the first sweep ends %.1f ms before the off edge of a flash of 150 ms", s.early*1000)
	}
}
