package proof_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"lampwright/car"
	"lampwright/compile"
	"lampwright/flash"
	"lampwright/program"
	"lampwright/proof"
)

// flip gives the damage of the n-th byte that is tried: one bit, another in each byte, and now and then all eight.
func flip(n int) byte {
	if n%9 == 8 {
		return 0xFF
	}
	return 1 << (n % 9)
}

func demoModules(t testing.TB) (*compile.Result, []*compile.Module) {
	t.Helper()
	_, r := job(t, demoJob)
	bySize := slices.Clone(r.Modules)
	slices.SortStableFunc(bySize, func(a, b *compile.Module) int { return len(a.Image) - len(b.Image) })
	return r, bySize
}

func damaged(image []byte, at int, mask byte) []byte {
	bad := slices.Clone(image)
	bad[at] ^= mask
	return bad
}

// The decoder refuses every image of the demo job with one damaged byte, whatever the byte, and the engine runs the safe
// program for ever: a held stop is full and stays so.
func TestEveryDamagedByteIsRefused(t *testing.T) {
	r, _ := demoModules(t)
	for _, m := range r.Modules {
		safe, err := program.EncodeSafe(m.Safe)
		if err != nil {
			t.Fatal(err)
		}
		held := m.Safe.Stop ^ m.Safe.Invert
		if m.Safe.Stop == 0 {
			held = m.Safe.Tail ^ m.Safe.Invert
		}
		frames := len(m.Image)/256 + 8
		want := safeLevels(m.Safe, held^m.Safe.Invert)
		for at := range m.Image {
			for _, mask := range []byte{flip(at), flip(at + 4), 0xFF} {
				bad := damaged(m.Image, at, mask)
				if _, err := program.Decode(bad); err == nil {
					t.Fatalf("%s: byte %d with %02x flipped is accepted by the decoder", m.Of.Name, at, mask)
				}
				e := program.NewEngine(program.Powering{SafeA: safe[:], SafeB: safe[:], Image: bad, Strap: car.StrapOf(m.Of)})
				e.Frames(frames, held, true)
				if s := e.Shown(); s.Live || s.Levels != want {
					t.Fatalf("%s: byte %d with %02x flipped: live %v, levels %v, want those of the safe program %v", m.Of.Name, at, mask, s.Live, s.Levels, want)
				}
			}
		}
	}
}

// safeLevels is the safe program, written down from docs/engine.md, section 7.
func safeLevels(s *program.Safe, on uint8) (levels [program.MaxOutputs]uint8) {
	for o := range 8 * s.Registers {
		has := func(mask [program.MaxRegisters]uint8) bool { return mask[o/8]>>(o%8)&1 != 0 }
		switch {
		case on&s.Stop != 0 && has(s.StopOut), on&s.TurnA != 0 && has(s.TurnAOut), on&s.TurnB != 0 && has(s.TurnBOut):
			levels[o] = program.FullLevel
		case on&s.Tail != 0 && has(s.TailOut):
			levels[o] = s.TailLevel
		}
	}
	return levels
}

// press is an input byte that is held in a window of a sweep.
type press struct {
	what string
	on   uint8
}

// trial of damage: each road function in turn, alone, with a window in the steady part of each.
const (
	slice   = 100 * ms
	leadIn  = 60 * ms // from the edge to the window: filters, frames and a sweep at the default pace do not matter to the safe program
	windows = slice - leadIn - 10*ms
)

func presses(s *program.Safe) []press {
	var all []press
	for _, p := range []press{{"nothing", 0}, {"tail", s.Tail}, {"stop", s.Stop}, {"turn A", s.TurnA}, {"turn B", s.TurnB}, {"stop and tail", s.Stop | s.Tail}} {
		if p.on != 0 || p.what == "nothing" {
			all = append(all, p)
		}
	}
	return all
}

// sweepOf presses the road functions one after another, from the first instant on.
func sweepOf(t testing.TB, m *compile.Module) (proof.Variants, []press) {
	t.Helper()
	one, err := proof.Ship(m)
	if err != nil {
		t.Fatal(err)
	}
	all := presses(m.Safe)
	all = append(all[1:], all[0]) // begin with an input that is on, end with none
	v := proof.Variants{Setup: setup(time.Duration(len(all))*slice, list(one), proof.Strap(0, 0, car.StrapOf(m.Of))), Jobs: 1}
	for n, p := range all {
		at := time.Duration(n)*slice + 2*ms // away from the begin of a frame
		v.Windows = append(v.Windows, proof.Window{From: at + leadIn, To: at + leadIn + windows})
		for in := range m.Of.Board.Inputs {
			v.Events = append(v.Events, proof.Input(at, 0, in+1, (p.on^m.Safe.Invert)>>in&1 != 0))
		}
	}
	return v, all
}

// runsSafely tells what in an outcome is not the safe program's light, or "".
func runsSafely(o proof.Outcome, m *compile.Module, all []press) string {
	x := o.Modules[0]
	if x.Misdeeds != 0 || x.Resets != 0 || x.Stuck != 0 {
		return fmt.Sprintf("%d faults, %d resets, ran wild %d times", x.Misdeeds, x.Resets, x.Stuck)
	}
	for n, p := range all {
		levels := safeLevels(m.Safe, p.on)
		for o := range m.Of.Board.Outputs {
			light := x.Windows[n]
			share := float64(light.Lit[o]) / float64(light.Cycles)
			duty := float64(program.Duty(levels[o])) / program.FullDuty
			switch level := levels[o]; {
			case level == 0 && !light.Never(o), level == program.FullLevel && !light.Wholly(o), share < 0.85*duty || share > 1.05*duty+0.0005:
				return fmt.Sprintf("%s: output %d is lit for a share of %.4f, want level %d", p.what, o+1, share, level)
			}
		}
	}
	return ""
}

// On the simulated processor: a damaged byte of the image ends in the safe program, never in a dark stop or a reset. Every
// byte of the smallest image of the demo job and of one for the pins board, every sixteenth of the others.
func TestDamagedImageRunsTheSafeProgram(t *testing.T) {
	t.Parallel()
	_, bySize := demoModules(t)
	_, small := job(t, "../examples/lamps/side-marker.yaml")
	for i, m := range append([]*compile.Module{small.Modules[0]}, bySize...) {
		step := 16
		if i < 2 {
			step = 1
		}
		v, all := sweepOf(t, m)
		var at []int
		for n := 0; n < len(m.Image); n += step {
			at = append(at, n)
			v.Extra = append(v.Extra, []proof.Event{proof.FlashXor(0, 0, uint16(flash.ImageStart+n), flip(n/step))})
		}
		v.Extra = append(v.Extra, nil) // and the whole image, which must not pass for the safe program
		err := proof.Sweep(context.Background(), v, func(n int, o proof.Outcome) error {
			problem := runsSafely(o, m, all)
			if n < len(at) && problem != "" {
				t.Errorf("%s: image byte %d with %02x flipped: %s", m.Of.Name, at[n], flip(n), problem)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: %d of %d bytes", m.Of.Name, len(at), len(m.Image))
	}
}

// A damaged byte in one copy of the safe block changes nothing: the other copy serves. (The start takes a little longer when
// it is the first, so that a window may begin within another refresh.)
func TestDamagedSafeBlockChangesNothing(t *testing.T) {
	t.Parallel()
	r, _ := demoModules(t)
	m := r.Modules[0]
	v, _ := sweepOf(t, m)
	v.Extra = [][]proof.Event{nil}
	for n := range 2 * flash.SafeBytes {
		at := flash.SafeAStart + n
		if n >= flash.SafeBytes {
			at = flash.SafeBStart + n - flash.SafeBytes
		}
		v.Extra = append(v.Extra, []proof.Event{proof.FlashXor(0, 0, uint16(at), flip(n))})
	}
	var whole proof.Outcome
	err := proof.Sweep(context.Background(), v, func(n int, o proof.Outcome) error {
		if n == 0 {
			whole = o
			return nil
		}
		for w, light := range o.Modules[0].Windows {
			for o, lit := range light.Lit {
				if d := int(lit) - int(whole.Modules[0].Windows[w].Lit[o]); d > proof.CyclesARefresh/2 || -d > proof.CyclesARefresh/2 {
					t.Errorf("safe block byte %d with %02x flipped: window %d, output %d: %d cycles more light", n-1, flip(n-1), w, o+1, d)
				}
			}
		}
		if x := o.Modules[0]; x.Misdeeds != 0 || x.Resets != 0 || x.Stuck != 0 {
			t.Errorf("safe block byte %d with %02x flipped: %d faults, %d resets", n-1, flip(n-1), x.Misdeeds, x.Resets)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
