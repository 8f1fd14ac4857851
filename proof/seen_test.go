package proof_test

import (
	"context"
	"testing"
	"time"

	"lampwright/car"
	"lampwright/compile"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/proof"
	"lampwright/script"
	"lampwright/units"
)

// outputs is a set of a module's outputs, bit 0 is output 1.
type outputs uint64

func setOf(slots []uint8) (s outputs) {
	for _, o := range slots {
		s |= 1 << o
	}
	return s
}

// seen is what a module shows from a sample until the next.
type seen struct {
	at     time.Duration // of the sample
	full   outputs       // lit in all slots P0..P7
	lit    outputs       // lit in any slot
	words  []outputs     // of every slot, in the order shown
	planes [8]outputs    // P0..P7
	sleeps int           // times that it went to sleep before the next sample
	engine *program.Engine
}

// engineOrder is the order in which an engine gives the slots S, P0 .. P7.
var engineOrder = [program.Slots]int{0, 1, 2, 3, 4, 5, 6, 7, 8}

// eighths gives the duty of an output in steps of eight, 0..255: 255 is full, 127 is halved from full.
func (v *seen) eighths(output int) (n int) {
	for k, p := range v.planes {
		n |= int(p>>output&1) << k
	}
	return n
}

// take sums up words that are shown in the given order of slots.
func (v *seen) take(words [][program.MaxRegisters]uint8, order [program.Slots]int) {
	v.full, v.lit, v.words = ^outputs(0), 0, v.words[:0]
	for i, w := range words {
		var bits outputs
		for r, b := range w {
			bits |= outputs(b) << (8 * r)
		}
		v.words = append(v.words, bits)
		v.lit |= bits
		if i < len(order) && order[i] > 0 {
			v.full &= bits
			v.planes[order[i]-1] = bits
		}
	}
}

// wires are the conditions of all tests: a high supply, so that wires that are chopped above a voltage are.
var wires = feed.Conditions{Supply: feed.HotSupply, Seed: 1}

// witness is told what module i shows, refresh by refresh.
type witness func(i int, v seen)

// onEngines plays a kit on reference engines. A module without supply tells nothing.
func onEngines(t testing.TB, k *kit.Kit, r *compile.Result, line *script.Timeline, length time.Duration, tell witness) {
	t.Helper()
	all, err := car.Units(r)
	if err != nil {
		t.Fatal(err)
	}
	rig := car.NewRig(all, car.Drive(k, line, units.Time(length/us), wires))
	for rig.At() < units.Time(length/us) {
		at := time.Duration(rig.At()) * us
		rig.Step()
		for i := range all {
			v := seen{at: at, engine: rig.Engine(i)}
			if v.engine == nil {
				continue // no supply
			}
			words := v.engine.Words()
			v.take(words[:], engineOrder)
			tell(i, v)
		}
	}
}

// onHEX plays a kit on simulated processors, judges every word, and tells what was shown.
func onHEX(t testing.TB, k *kit.Kit, r *compile.Result, line *script.Timeline, length time.Duration, tell witness) {
	t.Helper()
	setups, err := proof.Trial{Kit: k, Compiled: r, Line: line, Wires: wires, Length: length, Cache: sharedDir}.Setups()
	if err != nil || len(setups) != 1 {
		t.Fatalf("%d runs, %v", len(setups), err)
	}
	onSetup(t, r, setups[0], tell)
}

// onSetup carries out a run of a compiled kit.
func onSetup(t testing.TB, r *compile.Result, s proof.Setup, tell witness) *proof.Log {
	t.Helper()
	index := make([]int, len(s.Modules)) // of the kit's modules
	judges := make([]*proof.Judge, len(s.Modules))
	for i, m := range s.Modules {
		for n, c := range r.Modules {
			if c.Of.Name == m.Name {
				index[i] = n
			}
		}
		model, err := proof.ModelOf(m)
		if err != nil {
			t.Fatal(err)
		}
		judges[i] = proof.NewJudge(m, model, proof.Core)
	}
	log, err := proof.Watch(context.Background(), s, func(i int, b proof.Boot, refresh proof.Refresh) error {
		judges[i].Take(b, refresh)
		if !refresh.Whole {
			return nil
		}
		words := make([][program.MaxRegisters]uint8, len(refresh.Slots))
		for n, slot := range refresh.Slots {
			words[n] = slot.Word
		}
		v := seen{at: s.Modules[i].At(refresh.Cycle), sleeps: refresh.Sleeps}
		v.take(words, shownOrder[s.Modules[i].Kind])
		tell(index[i], v)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, j := range judges {
		j.Finish()
		for _, d := range j.Differences {
			t.Error(d)
		}
		for _, f := range log.Modules[i].Misdeeds {
			t.Errorf("module %s, cycle %d: %v", s.Modules[i].Name, f.Cycle, f.Kind)
		}
	}
	return log
}
