package proof_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"lampwright/board"
	core "lampwright/firmware"
	"lampwright/flash"
	"lampwright/program"
	"lampwright/program/vector"
	"lampwright/proof"
)

// The third judge of the test vectors: the HEX that ships, on the simulated processor. Every sample is as the vector says, and
// what leaves the module is compared with the vector's own lines.
func TestVectorsOnHEX(t *testing.T) {
	t.Parallel()
	paths, err := filepath.Glob("../program/testdata/vectors/*.txt")
	if err != nil || len(paths) < 50 {
		t.Fatalf("%d vectors found (%v)", len(paths), err)
	}
	played := map[board.Core]int{}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		v, err := vector.Read(text)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		cores := []board.Core{board.CoreChain}
		if v.Registers == 2 && fitsPins(v) {
			cores = append(cores, board.CorePins)
		}
		for _, kind := range cores {
			played[kind]++
			t.Run(filepath.Base(path)+" "+string(kind), func(t *testing.T) { playVector(t, v, kind) })
		}
	}
	if played[board.CorePins] < 5 {
		t.Errorf("only %d vectors fit the pins board", played[board.CorePins])
	}
}

// fitsPins tells whether a vector uses only what the pins board has: six inputs.
func fitsPins(v *vector.Vector) bool {
	for _, r := range v.Runs {
		if r.In > 0x3F {
			return false
		}
	}
	return true
}

func vectorModule(t *testing.T, v *vector.Vector, kind board.Core) proof.Module {
	t.Helper()
	prebuilt := map[board.Core][]byte{board.CoreChain: core.Chain, board.CorePins: core.Pins}[kind]
	memory, err := flash.ReadHEX(prebuilt)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := memory.Flat(flash.CoreBytes)
	if err != nil {
		t.Fatal(err)
	}
	for len(whole) < flash.CoreBytes {
		whole = append(whole, flash.Blank)
	}
	whole = append(append(append(whole, v.SafeA...), v.SafeB...), v.Image...)
	text, err := flash.HEX(0, whole)
	if err != nil {
		t.Fatal(err)
	}
	m := proof.Module{Name: "module", HEX: text, Registers: v.Registers}
	if kind == board.CorePins {
		m.Kind = proof.Pins
	}
	return m
}

// An image that asks for more operations than a frame has time for shows its frames late, and then only what the interrupt
// does is compared: the stop override. The decoder refuses such images.
const tooMuch = "more operations than the check allows"

func playVector(t *testing.T, v *vector.Vector, kind board.Core) {
	m := vectorModule(t, v, kind)
	first := mustRun(t, setup(5*ms, list(m))).Modules[0].Refreshes
	sampleAt := func(r int) time.Duration {
		if r < len(first) {
			return m.At(first[r].Cycle)
		}
		last := len(first) - 1
		return m.At(first[last].Cycle + uint64(r-last)*proof.CyclesARefresh)
	}
	var want []vector.Run // one a sample
	var events []proof.Event
	for _, run := range v.Runs {
		at := max(sampleAt(len(want))-100*us, 0)
		for in := range 8 {
			if m.Kind == proof.Chain || in < 6 {
				events = append(events, proof.Input(at, 0, in+1, run.In>>in&1 != 0))
			}
		}
		wire := proof.WireSupply // high, even while the module pulls
		if !run.Link {
			wire = proof.WireLow
		}
		events = append(events, proof.LinkWire(at, wire))
		for range run.Refreshes {
			want = append(want, run)
		}
	}
	late := v.Refusal == tooMuch
	n, show := 0, 0
	wrong := 0
	complain := func(format string, args ...any) {
		if wrong++; wrong < 5 {
			t.Errorf("refresh %d: %s", n, fmt.Sprintf(format, args...))
		}
	}
	see := func(_ int, b proof.Boot, r proof.Refresh) error {
		if n++; n > len(want) || !r.Whole || wrong > 5 {
			return nil
		}
		if s := want[n-1]; r.Inputs != s.In || r.Link != s.Link {
			complain("sampled inputs %02x, link %v, want %02x, %v", r.Inputs, r.Link, s.In, s.Link)
		}
		if n == len(want) {
			return nil // the last sample ends the vector
		}
		for show+1 < len(v.Shows) && v.Shows[show+1].Refresh <= n {
			show++
		}
		s := &v.Shows[show]
		if r.Pull != s.Pull && !late {
			complain("pull %v, want %v", r.Pull, s.Pull)
		}
		words := s.Words(n % program.RefreshesPerFrame)
		if len(r.Slots) != len(words) {
			complain("%d words", len(r.Slots))
			return nil
		}
		for i, slot := range shownOrder[m.Kind] {
			for o := range m.Outputs() {
				if forced := s.Force[o/8]>>(o%8)&1 != 0; late && !forced {
					continue
				}
				if (r.Slots[i].Word[o/8]^words[slot][o/8])>>(o%8)&1 != 0 {
					complain("slot %d, output %d: word %x, want %x", slot, o+1, r.Slots[i].Word, words[slot])
					break
				}
			}
		}
		return nil
	}
	if _, err := proof.Watch(context.Background(), setup(sampleAt(len(want)), list(m), events...), see); err != nil {
		t.Fatal(err)
	}
	if n < len(want) {
		t.Errorf("only %d of %d refreshes were seen", n, len(want))
	}
}

// shownOrder is the order in which a board shows the words S, P0 .. P7 (firmware/avr/widths.h).
var shownOrder = map[proof.Kind][program.Slots]int{proof.Chain: {4, 0, 1, 2, 3, 5, 6, 7, 8}, proof.Pins: {2, 0, 1, 3, 4, 5, 6, 7, 8}}
