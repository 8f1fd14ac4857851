package proof_test

import (
	"strings"
	"testing"
	"time"

	"lampwright/car"
	"lampwright/compile"
	"lampwright/feed"
	"lampwright/flash"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/proof"
)

// everything presses all inputs of a kit from before power-up on.
func everything(k *kit.Kit, length string) string {
	var words []string
	for _, in := range k.Inputs {
		words = append(words, in.Name+"@0s.."+length)
	}
	return strings.Join(words, " ")
}

// Nothing is lit before the inputs have been read, whatever is pressed.
func TestPowerUpIsDark(t *testing.T) {
	t.Parallel()
	for _, path := range examples(t) {
		k, r := job(t, path)
		setups, err := proof.Trial{Kit: k, Compiled: r, Line: timeline(t, everything(k, "1s")), Wires: wires, Length: 20 * ms, Cache: sharedDir}.Setups()
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range mustRun(t, setups[0]).Modules {
			first := m.At(m.Refreshes[0].Cycle)
			if first > 5*ms {
				t.Errorf("%s: the inputs are first read %v after power-up", m.Name, first)
			}
			for i, s := range m.Boots[0].Slots {
				if s.LitCycles > 0 && s.Word != [8]byte{} {
					t.Errorf("%s: word %d before the first sample is %x, lit for %d cycles", m.Name, i, s.Word, s.LitCycles)
				}
			}
		}
	}
}

// A stop that is held at power-up is full within 5 ms of the first sample and stays so through the image check, on every lamp
// that has one: also where an arrive routine would make it grow.
func TestHeldStopAtPowerUp(t *testing.T) {
	t.Parallel()
	stops := 0
	for _, path := range examples(t) {
		k, r := job(t, path)
		answer := 6*ms + wakes
		if sharesAWire(k) {
			answer += time.Duration(feed.SharedDelay.On) * us
		}
		for _, presses := range []string{"stop@0s..1s", everything(kitWithout(k, "turn-"), "1s")} {
			if _, ok := k.Input("stop"); !ok {
				continue
			}
			onHEX(t, k, r, timeline(t, presses), 400*ms, func(i int, v seen) {
				var want outputs
				for n, l := range r.Modules[i].Layers {
					if l.Of.Input.Road == "stop" && l.Outage == nil {
						want |= setOf(r.Modules[i].Program.Layers[n].Slots)
					}
				}
				if want == 0 || v.at < answer {
					return
				}
				if stops++; want&^v.full != 0 {
					t.Errorf("%s, %v after power-up: outputs %x of %x are at full light", r.Modules[i].Of.Name, v.at, v.full&want, want)
				}
			})
		}
	}
	if stops < 1000 {
		t.Fatalf("only %d refreshes with a stop were seen", stops)
	}
}

// kitWithout gives a kit whose list of inputs lacks those of a prefix, to press the others.
func kitWithout(k *kit.Kit, prefix string) *kit.Kit {
	out := *k
	out.Inputs = nil
	for _, in := range k.Inputs {
		if !strings.HasPrefix(in.Name, prefix) {
			out.Inputs = append(out.Inputs, in)
		}
	}
	return &out
}

// Until the image check has passed, only the safe block drives the outputs: whatever is pressed, a module with its image shows,
// refresh by refresh, what one without an image shows; afterwards it does not.
func TestOnlySafeBlockUntilChecked(t *testing.T) {
	t.Parallel()
	_, bySize := demoModules(t)
	m := bySize[len(bySize)-1] // the longest check
	whole, err := proof.Ship(m)
	if err != nil {
		t.Fatal(err)
	}
	bare, err := proof.Ship(&compile.Module{Of: m.Of, Program: m.Program, Safe: m.Safe, Image: []byte{flash.Blank}})
	if err != nil {
		t.Fatal(err)
	}
	bare.Name = "bare"
	// Job n checks 256 bytes and its result is seen in frame n + 2; an image accepted in the last of them is live one later.
	checked := (len(m.Image) + 255) / 256
	firstLive := (checked + 2) * program.RefreshesPerFrame
	for name, on := range map[string]uint8{"all": m.Safe.Tail | m.Safe.Stop | 0x30, "remote": 0x10, "tail": m.Safe.Tail} {
		s := setup(time.Duration(firstLive+80)*refresh, list(whole, bare))
		for i := range s.Modules {
			s.Events = append(s.Events, proof.Strap(0, i, car.StrapOf(m.Of)))
			for in := range 6 {
				s.Events = append(s.Events, proof.Input(0, i, in+1, (on^m.Safe.Invert)>>in&1 != 0))
			}
		}
		log := mustRun(t, s)
		with, without := log.Modules[0].Refreshes, log.Modules[1].Refreshes
		differ := -1
		for n := range min(len(with), len(without)) {
			for slot := range with[n].Slots {
				if differ < 0 && with[n].Slots[slot].Word != without[n].Slots[slot].Word {
					differ = n + 1 // what follows sample n is refresh n + 1
				}
			}
		}
		if differ >= 0 && differ < firstLive {
			t.Errorf("%s: refresh %d differs, and the image is not checked before refresh %d", name, differ, firstLive)
		}
		if differ < 0 && name == "remote" {
			t.Errorf("%s: the image never came into effect", name)
		}
	}
}
