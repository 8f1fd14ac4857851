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
	engine *program.Engine
}

// take sums up words in which slot S is the one with index s.
func (v *seen) take(words [][program.MaxRegisters]uint8, s int) {
	v.full, v.lit, v.words = ^outputs(0), 0, v.words[:0]
	for i, w := range words {
		var bits outputs
		for r, b := range w {
			bits |= outputs(b) << (8 * r)
		}
		v.words = append(v.words, bits)
		v.lit |= bits
		if i != s {
			v.full &= bits
		}
	}
}

// wires are the conditions of all tests: a high supply, so that wires that are chopped above a voltage are.
var wires = feed.Conditions{Supply: feed.HotSupply, Seed: 1}

// witness is told what module i shows, refresh by refresh.
type witness func(i int, v seen)

// onEngines plays a kit on reference engines.
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
			words := rig.Engine(i).Words()
			v := seen{at: at, engine: rig.Engine(i)}
			v.take(words[:], 0)
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
func onSetup(t testing.TB, r *compile.Result, s proof.Setup, tell witness) {
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
	_, err := proof.Watch(context.Background(), s, func(i int, b proof.Boot, refresh proof.Refresh) error {
		judges[i].Take(b, refresh)
		if !refresh.Whole {
			return nil
		}
		words := make([][program.MaxRegisters]uint8, len(refresh.Slots))
		for n, slot := range refresh.Slots {
			words[n] = slot.Word
		}
		v := seen{at: s.Modules[i].At(refresh.Cycle)}
		v.take(words, 1) // both boards show slot S second
		tell(index[i], v)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range judges {
		for _, d := range j.Differences {
			t.Error(d)
		}
	}
}
