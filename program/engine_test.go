package program_test

import (
	"strings"
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"

	"pgregory.net/rapid"
)

func contains(err error, part string) bool { return strings.Contains(err.Error(), part) }

// module draws a program with its engine.
func module(t *rapid.T) (*program.Program, *program.Safe, *program.Engine) {
	p := programtest.Random(t)
	s := programtest.RandomSafe(t, p)
	e, err := program.NewEngineFor(p, s)
	if err != nil {
		t.Fatal(err)
	}
	return p, s, e
}

// A copy goes its own way, and both show the same for the same samples.
func TestClone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s, e := module(t)
		var copied *program.Engine
		for i, r := range programtest.RandomSamples(t, p, s, 6000) {
			if i == 3 {
				copied = e.Clone()
				for range 200 { // must not disturb e
					copied.Step(uint8(i*37), false)
				}
				copied = e.Clone()
			}
			r.Begin(e)
			if copied != nil {
				r.Begin(copied)
			}
			for range r.Refreshes {
				e.Step(r.In, r.Link)
				if copied == nil {
					continue
				}
				if copied.Step(r.In, r.Link); copied.Shown() != e.Shown() {
					t.Fatal("the copy shows something else")
				}
			}
		}
	})
}

// Levels come from the owner's table, from a moving layer, from a streamed frame, or are 0; the stop override only holds what the owner's rank
// allows, and nothing outside the registers is ever lit.
func TestOwners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s, e := module(t)
		for _, r := range programtest.RandomSamples(t, p, s, 4000) {
			r.Begin(e)
			for range r.Refreshes {
				shown, owners := e.Shown(), e.Owner()
				forced := 0
				for o, h := range owners {
					if o >= 8*p.Registers && (shown.Levels[o] != 0 || h.Layer >= 0) {
						t.Fatalf("output %d is lit, the module has %d registers", o, p.Registers)
					}
					if !shown.Live {
						continue
					}
					isForced := shown.Force[o/8]>>(o%8)&1 == 1
					if isForced {
						forced++
					}
					if h.Layer < 0 {
						if shown.Levels[o] != 0 && !p.Walk && !p.Live {
							t.Fatalf("output %d has level %d and no owner", o, shown.Levels[o])
						}
						continue
					}
					l := &p.Layers[h.Layer]
					slot := slotOf(l, o)
					if slot < 0 {
						t.Fatalf("layer %d holds output %d, which it has not", h.Layer, o)
					}
					if h.Phase == program.Keep && shown.Levels[o] != 0 || h.Phase != program.Keep && l.Still != nil && shown.Levels[o] != l.Still[slot] {
						t.Fatalf("output %d: level %d in phase %v of layer %d", o, shown.Levels[o], h.Phase, h.Layer)
					}
					if isForced && !fastAtOrAbove(p, h.Layer, o) {
						t.Fatalf("output %d is forced over layer %d, which has priority", o, h.Layer)
					}
				}
				if forced > 0 && e.Inputs()&s.Stop == 0 {
					t.Fatal("the override acts without the stop input")
				}
				e.Step(r.In, r.Link)
			}
		}
	})
}

func slotOf(l *program.Layer, output int) int {
	for s, o := range l.Slots {
		if int(o) == output {
			return s
		}
	}
	return -1
}

// fastAtOrAbove reports whether a fast layer of at least the priority of a layer has an output.
func fastAtOrAbove(p *program.Program, layer, output int) bool {
	for i := range layer + 1 {
		if p.Layers[i].Fast && slotOf(&p.Layers[i], output) >= 0 {
			return true
		}
	}
	return false
}

// Frames is Step, eight at a time; in the middle of a frame it first ends that one.
func TestFrames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, _, e := module(t)
		other := e.Clone()
		for range 30 {
			if rapid.IntRange(0, 3).Draw(t, "codes") == 0 {
				supply, heat := rapid.Uint8().Draw(t, "supply"), rapid.Uint8().Draw(t, "heat")
				e.Sense(supply, heat)
				other.Sense(supply, heat)
				live := rapid.SliceOfN(rapid.Uint8(), 8*e.Registers(), 8*e.Registers()).Draw(t, "live")
				e.Stream(live)
				other.Stream(live)
			}
			in, n, odd := rapid.Uint8().Draw(t, "in"), rapid.IntRange(1, 20).Draw(t, "frames"), rapid.IntRange(0, 7).Draw(t, "odd")
			for range odd {
				e.Step(in, true)
				other.Step(in, true)
			}
			left := 8*n - other.Phase()
			e.Frames(n, in, true)
			for range left {
				other.Step(in, true)
			}
			if e.Shown() != other.Shown() || e.Phase() != 0 {
				t.Fatalf("%d frames are not %d refreshes", n, left)
			}
		}
	})
}

func TestStepAllocatesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		_, _, e := module(t)
		e.Frames(100, 0, true)
		in := uint8(0)
		if n := testing.AllocsPerRun(20, func() {
			in += 37
			e.Frames(9, in, in > 128)
			shown := e.Shown()
			shown.Words(e.Registers())
			e.Owner()
		}); n != 0 {
			t.Fatalf("%v allocations", n)
		}
	})
}

func TestNewEngineForRefuses(t *testing.T) {
	r, err := program.Assemble([]string{"end"})
	if err != nil {
		t.Fatal(err)
	}
	p := &program.Program{Registers: 2, Layers: []program.Layer{{Pace: -1, InputMask: 1, Slots: []uint8{0}, Stay: r}}}
	safe := program.LastResort()
	if _, err := program.NewEngineFor(p, &safe); err == nil || !contains(err, "8 registers for a program of 2") {
		t.Errorf("a safe block for another module: %v", err)
	}
	paced := &program.Program{Registers: 8, PacerInput: [2]uint8{4, 0}, Layers: []program.Layer{{Pace: 0, InputMask: 16, Slots: []uint8{0}, Arrive: r, Stay: r}}}
	if _, err := program.NewEngineFor(paced, &safe); err == nil || !contains(err, "layer 1 is asked for by inputs 0x10, while its pacer watches 0x04") {
		t.Errorf("a paced layer whose input is not its pacer's: %v", err)
	}
	safe.StopTurn[1] = program.StopTurn{Used: true, Wire: 2, Reference: 1, Turn: 4}
	if _, err := program.NewEngineFor(paced, &safe); err != nil {
		t.Errorf("a paced layer at the turn of its pacer's wire: %v", err)
	}
	safe.Registers = 0
	if _, err := program.NewEngineFor(p, &safe); err == nil {
		t.Error("a faulty safe block is taken")
	}
	p.Layers = nil
	if _, err := program.NewEngineFor(p, &safe); err == nil {
		t.Error("a faulty program is taken")
	}
}
