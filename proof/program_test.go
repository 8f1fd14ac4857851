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

// Random programs, stranger than any that the compiler writes, with random samples: flashers, chatter, marks on the link wire, codes, streamed
// frames, any strap and memory, supplies that go and resets.
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
		restarts := rapid.IntRange(0, 4).Draw(t, "restarts") - 2
		streams := time.Duration(len(image)/256+8) * program.FrameMS * ms // a frame that is under way when the image is accepted may count or not
		if restarts > 0 {
			streams = time.Hour
		}
		events, length := sampled(programtest.RandomSamples(t, p, s, rapid.IntRange(500, 8000).Draw(t, "refreshes")), inputs, streams)
		events = append(events, proof.Strap(0, 0, programtest.RandomStrap(t, p)))
		if memory := programtest.RandomMemory(t); memory != nil {
			events = append(events, proof.Memory(0, 0, memory[:]))
		}
		events = append(events, proof.Remnant(0, 0, programtest.RandomRemnant(t)))
		for range restarts {
			at := time.Duration(rapid.Int64Range(0, int64(length/us)).Draw(t, "at us")) * us
			if rapid.Bool().Draw(t, "reset alone") {
				events = append(events, proof.Reset(at, 0))
				continue
			}
			gone := time.Duration(rapid.IntRange(1, 100_000).Draw(t, "gone us")) * us
			back := proof.Power(at+gone, 0, true)
			if rapid.Bool().Draw(t, "RAM lives") {
				back = proof.PowerSoon(at+gone, 0)
			}
			events = append(events, proof.Power(at, 0, false), back)
		}
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
// so that the module's own pulls do not show on it. A streamed frame that comes while another is on its line, or too early, is left out.
func sampled(runs []vector.Run, inputs int, streams time.Duration) (events []proof.Event, at time.Duration) {
	free := streams
	for _, run := range runs {
		for in := range inputs {
			events = append(events, proof.Input(at, 0, in+1, run.In>>in&1 != 0))
		}
		wire := proof.WireSupply
		if !run.Link {
			wire = proof.WireLow
		}
		events = append(events, proof.LinkWire(at, wire))
		if c := run.Codes; c != nil {
			events = append(events, proof.Supply(at, 0, c.Supply), proof.Heat(at, 0, c.Heat))
		}
		if run.Live != nil && at >= free {
			packet := proof.LivePacket(run.Live)
			events = append(events, proof.Serial(at, 0, packet))
			free = at + time.Duration(len(packet)+20)*proof.SerialByte
		}
		at += time.Duration(run.Refreshes) * refresh
	}
	return events, at + 10*ms
}
