package proof_test

import (
	"context"
	"testing"
	"time"

	"lampwright/board"
	"lampwright/flash"
	"lampwright/program"
	"lampwright/program/programtest"
	"lampwright/program/vector"
	"lampwright/proof"

	"pgregory.net/rapid"
)

// Random programs, stranger than any that the compiler writes, with random samples: flashers, chatter, marks on the link wire.
func TestRandomPrograms(t *testing.T) {
	draws(t, 100, func(t *rapid.T) {
		kind := rapid.SampledFrom([]board.Core{board.CoreChain, board.CorePins}).Draw(t, "core")
		registers := 2 // of the pins board
		if kind == board.CoreChain {
			registers = rapid.IntRange(1, program.MaxRegisters).Draw(t, "registers")
		}
		p := programtest.RandomFor(t, registers)
		s := programtest.RandomSafe(t, p)
		image, err := program.Encode(p)
		if err != nil {
			t.Fatal(err)
		}
		hex, err := flash.Ship(kind, s, image)
		if err != nil {
			t.Fatal(err)
		}
		m := proof.Module{Name: "module", HEX: hex, Registers: registers}
		inputs := 8
		if kind == board.CorePins {
			m.Kind, inputs = proof.Pins, 6
		}
		events, length := sampled(programtest.RandomSamples(t, p, s, rapid.IntRange(500, 8000).Draw(t, "refreshes")), inputs)
		verdicts, err := proof.Judged(context.Background(), setup(length, list(m), events...), proof.Core)
		if err != nil {
			t.Fatal(err)
		}
		for _, problem := range verdicts[0].Problems() {
			t.Error(problem)
		}
	})
}

// sampled gives the events that bring the samples of runs to a module, and how long they take. The wire is held from outside,
// so that the module's own pulls do not show on it.
func sampled(runs []vector.Run, inputs int) (events []proof.Event, at time.Duration) {
	for _, run := range runs {
		for in := range inputs {
			events = append(events, proof.Input(at, 0, in+1, run.In>>in&1 != 0))
		}
		wire := proof.WireSupply
		if !run.Link {
			wire = proof.WireLow
		}
		events = append(events, proof.LinkWire(at, wire))
		at += time.Duration(run.Refreshes) * refresh
	}
	return events, at + 10*ms
}
