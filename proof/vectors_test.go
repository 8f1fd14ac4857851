package proof_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
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
			t.Run(filepath.Base(path)+" "+string(kind), func(t *testing.T) { playVector(t, filepath.Base(path), v, kind) })
		}
	}
	if played[board.CorePins] < 5 {
		t.Errorf("only %d vectors fit the pins board", played[board.CorePins])
	}
}

// fitsPins tells whether a vector uses only what the pins board has: six inputs, no strap, and no serial line beside the link wire that
// would keep it awake.
func fitsPins(v *vector.Vector) bool {
	if v.Strap != program.Centre || sleeps(v) {
		return false
	}
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
	whole, err := memory.Flat(flash.TotalBytes)
	if err != nil {
		t.Fatal(err)
	}
	for len(whole) < flash.TotalBytes {
		whole = append(whole, flash.Blank)
	}
	copy(whole[flash.SafeAStart:], v.SafeA)
	copy(whole[flash.SafeBStart:], v.SafeB)
	copy(whole[flash.ImageStart:], v.Image)
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

// awake is how often a byte that means nothing comes over the serial line of a module that would sleep: in a vector no time passes
// asleep.
const awake = 100 * ms

// lines gives what a vector's runs bring to a module that samples at the given times, the samples one by one, and whether its frames
// come slowly enough for the serial line.
func lines(v *vector.Vector, kind proof.Kind, sampleAt func(int) time.Duration) (events []proof.Event, samples []vector.Run, slow bool) {
	events = append(events, proof.Strap(0, 0, v.Strap))
	if v.Memory != nil {
		events = append(events, proof.Memory(0, 0, v.Memory[:]))
	}
	events = append(events, proof.Remnant(0, 0, v.Remnant))
	var free time.Duration // when the line is free again
	slow = true
	for _, run := range v.Runs {
		at := max(sampleAt(len(samples))-100*us, 0)
		for in := range 8 {
			if kind == proof.Chain || in < 6 {
				events = append(events, proof.Input(at, 0, in+1, run.In>>in&1 != 0))
			}
		}
		wire := proof.WireSupply // high, even while the module pulls
		if !run.Link {
			wire = proof.WireLow
		}
		events = append(events, proof.LinkWire(at, wire))
		if c := run.Codes; c != nil {
			if len(samples) == 0 {
				at = 0 // the first conversion comes before the first sample
			}
			events = append(events, proof.Supply(at, 0, c.Supply), proof.Heat(at, 0, c.Heat))
		}
		if run.Live != nil { // its last byte is whole a quarter of a refresh before the sample
			packet := proof.LivePacket(run.Live)
			from := sampleAt(len(samples)) - refresh/4 - time.Duration(len(packet))*proof.SerialByte
			slow = slow && from > free
			events = append(events, proof.Serial(from, 0, packet))
			free = sampleAt(len(samples)) + 10*refresh
		}
		for range run.Refreshes {
			samples = append(samples, run)
		}
	}
	return events, samples, slow
}

// sleeps tells whether an image has a module sleep.
func sleeps(v *vector.Vector) bool { return len(v.Image) > 23 && v.Image[23] != 0 }

// tooFast are the vectors whose streamed frames come faster than a serial line brings them.
var tooFast = []string{"live-too-early.txt", "live-two-at-once.txt"}

func playVector(t *testing.T, name string, v *vector.Vector, kind board.Core) {
	m := vectorModule(t, v, kind)
	first := mustRun(t, setup(6*ms, list(m))).Modules[0].Refreshes
	sampleAt := func(r int) time.Duration {
		if r < len(first) {
			return m.At(first[r].Cycle)
		}
		last := len(first) - 1
		return m.At(first[last].Cycle + uint64(r-last)*proof.CyclesARefresh)
	}
	events, want, slow := lines(v, m.Kind, sampleAt)
	if slow == slices.Contains(tooFast, name) {
		t.Errorf("whether its frames come too fast for a serial line is not as said: %v", slow)
	}
	if !slow {
		return
	}
	end := sampleAt(len(want))
	if sleeps(v) {
		for at := awake; at < end; at += awake {
			events = append(events, proof.Serial(at, 0, []byte{0}))
		}
	}
	if v.Kept != nil {
		end += 100 * ms // all is written
	}
	model, err := proof.ModelOf(m)
	if err != nil {
		t.Fatal(err)
	}
	late := v.Refusal == tooMuch
	n, show := 0, 0
	wrong := 0
	kept := v.Memory
	complain := func(format string, args ...any) {
		if wrong++; wrong < 5 {
			t.Errorf("refresh %d: %s", n, fmt.Sprintf(format, args...))
		}
	}
	see := func(_ int, b proof.Boot, r proof.Refresh) error {
		if n++; n == 1 {
			model.Restart(b)
			kept = &b.Memory
		}
		for _, k := range r.Kept {
			kept[k.Address] = k.Value
		}
		if n > len(want) || !r.Whole || wrong > 5 {
			return nil
		}
		model.Step(r.Sample)
		if s := want[n-1]; r.Inputs != s.In || r.Link != s.Link && (kind == board.CoreChain || !streams(v)) {
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
		doubt := model.Doubt()
		for i, slot := range shownOrder[m.Kind] {
			for o := range m.Outputs() {
				if forced := s.Force[o/8]>>(o%8)&1 != 0; late && !forced || doubt[o/8]>>(o%8)&1 != 0 {
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
	if _, err := proof.Watch(context.Background(), setup(end, list(m), events...), see); err != nil {
		t.Fatal(err)
	}
	if n < len(want) {
		t.Errorf("only %d of %d refreshes were seen", n, len(want))
	}
	if v.Kept != nil && kept != nil && *kept != *v.Kept {
		t.Errorf("the EEPROM holds %x, want %x", *kept, *v.Kept)
	}
}

// streams tells whether frames come over the serial line. On the pins board that is the link wire, which bytes then pull low.
func streams(v *vector.Vector) bool {
	return slices.ContainsFunc(v.Runs, func(r vector.Run) bool { return r.Live != nil })
}

// shownOrder is the order in which a board shows the words S, P0 .. P7 (firmware/avr/widths.h).
var shownOrder = map[proof.Kind][program.Slots]int{proof.Chain: {4, 0, 1, 2, 3, 5, 6, 7, 8}, proof.Pins: {2, 0, 1, 3, 4, 5, 6, 7, 8}}
