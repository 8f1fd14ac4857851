package vector_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// The inputs of the fixtures.
const (
	tail  = 1 << iota // in1
	stop              // in2
	turn              // in3
	show              // in4
	show2             // in5
)

// The outputs of the rear lamp of the fixtures: 16 in all.
var (
	arrow = span(0, 5)
	block = span(6, 11)
	edge  = span(12, 15)
)

const tailLevel = 96

func must[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// routine assembles lines.
func routine(t *testing.T, lines ...string) *program.Routine {
	t.Helper()
	return must[*program.Routine](t)(program.Assemble(lines))
}

func slots(outs []int) (s []uint8) {
	for _, o := range outs {
		s = append(s, uint8(o))
	}
	return s
}

func levels(n int, level uint8) (b []uint8) {
	for range n {
		b = append(b, level)
	}
	return b
}

// evenSafe has filters of 8 refreshes each way, so that an input that changes with the first sample of a frame changes
// the machine in that frame's job.
func evenSafe() *program.Safe {
	s := &program.Safe{Registers: 2, TailLevel: 80, Stop: stop, Tail: tail, TurnA: turn}
	for i := range s.On {
		s.On[i], s.Off[i] = 8, 8
	}
	for _, o := range arrow {
		s.TurnAOut[o/8] |= 1 << (o % 8)
	}
	for _, o := range block {
		s.StopOut[o/8] |= 1 << (o % 8)
	}
	for _, o := range edge {
		s.TailOut[o/8] |= 1 << (o % 8)
	}
	return s
}

func stopLayer() program.Layer {
	return program.Layer{Name: "stop", Fast: true, Pace: -1, InputMask: stop, Slots: slots(block), Still: levels(6, 255)}
}

func tailLayer() program.Layer {
	return program.Layer{Name: "tail", Pace: -1, InputMask: tail, Slots: slots(edge), Still: levels(4, tailLevel)}
}

// turnLayer sweeps over the arrow in 40 ticks: output k is full from tick 8 (k + 1) on.
func turnLayer(t *testing.T) program.Layer {
	return program.Layer{
		Name: "turn", Pace: 0, InputMask: turn, Slots: slots(arrow),
		Arrive: routine(t, "over 8", "loop 5 shift 1", "slot 0 to 255", "wait 8", "close", "over 0", "slot 5 to 255", "end"),
		Stay:   routine(t, "slots 0 x 6 to 255", "end"),
	}
}

// rear is a small rear lamp: turn, stop, tail.
func rear(t *testing.T) *program.Program {
	return &program.Program{
		Kit: 0x4C570001, Lamp: 3, Side: program.LH, Registers: 2, PacerInput: [2]uint8{turn, 0},
		Layers: []program.Layer{turnLayer(t), stopLayer(), tailLayer()},
	}
}

// frames is a run of whole frames with the link wire idle.
func frames(n int, in uint8) vector.Run { return vector.Run{Refreshes: 8 * n, In: in, Link: true} }

func fixtures(t *testing.T) []fixture {
	var all []fixture
	all = append(all, rearFixtures(t)...)
	all = append(all, machineFixtures(t)...)
	all = append(all, safeFixtures(t)...)
	all = append(all, linkFixtures(t)...)
	all = append(all, codeFixtures(t)...)
	all = append(all, senseFixtures(t)...)
	all = append(all, barFixtures(t)...)
	all = append(all, stopTurnFixtures(t)...)
	all = append(all, strapFixtures(t)...)
	all = append(all, keptFixtures(t)...)
	all = append(all, liveFixtures(t)...)
	return append(all, refusals(t)...)
}
