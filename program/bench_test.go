package program

import "testing"

// fading64 is a program of the largest module in which two layers of 64 outputs fade all the time, under a still signal.
func fading64(tb testing.TB) *Engine {
	tb.Helper()
	all := make([]uint8, MaxOutputs)
	for i := range all {
		all[i] = uint8(i)
	}
	swell := func(up, down int) *Routine {
		var c Coder
		c.Over(up)
		c.Span(0, 64, 255)
		c.Wait(up)
		c.Over(down)
		c.Span(0, 64, 10)
		c.Wait(down)
		r, err := c.Again()
		if err != nil {
			tb.Fatal(err)
		}
		return r
	}
	p := &Program{Registers: 8, PacerInput: [2]uint8{4, 8}, Layers: []Layer{
		{Fast: true, Pace: -1, InputMask: 2, Slots: all[:24], Still: fullLevels(24)},
		{Pace: -1, InputMask: 1, Slots: all, Stay: swell(100, 150)},
		{Pace: -1, InputMask: 1, Slots: all, Stay: swell(200, 255), Show: true},
	}}
	e, err := NewEngineFor(p, safeFor(8))
	if err != nil {
		tb.Fatal(err)
	}
	return e
}

func fullLevels(n int) []uint8 {
	b := make([]uint8, n)
	for i := range b {
		b[i] = FullLevel
	}
	return b
}

// safeFor is a safe block of a module that has stop on in2, tail on in1 and turns on in3 and in4.
func safeFor(registers int) *Safe {
	s := &Safe{Registers: registers, TailLevel: 90, Stop: 2, Tail: 1, TurnA: 4, TurnB: 8}
	for i := range MaxInputs {
		s.On[i], s.Off[i] = 7, 16
	}
	for r := range registers {
		s.StopOut[r], s.TailOut[r], s.TurnAOut[r], s.TurnBOut[r] = 0x0F, 0x3C, 0x03, 0xC0
	}
	return s
}

// BenchmarkEngine64 measures frames of 4 ms with 64 outputs and two fading layers.
func BenchmarkEngine64(b *testing.B) {
	e := fading64(b)
	e.Frames(100, 1, true)
	b.ReportAllocs()
	for b.Loop() {
		e.Frames(1, 1, true)
	}
	frames := float64(b.N)
	b.ReportMetric(frames/b.Elapsed().Seconds(), "frames/s")
	b.ReportMetric(frames*FrameMS/1000/b.Elapsed().Seconds(), "times-real")
}
