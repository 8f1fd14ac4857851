package measure_test

import (
	"testing"

	"lampwright/proof/measure"
)

// Two and three routines fade all 64 outputs, staggered and in bursts: every frame is published in time.
func TestNoFrameIsLateUnderFullLoad(t *testing.T) {
	for _, routines := range []int{2, 3} {
		for _, burst := range []bool{false, true} {
			l := must[measure.Load](t)(rig.Load(bg, routines, burst))
			judgeLoad(t, l)
			if burst {
				judgeEstimate(t, l)
			}
		}
	}
}

// So it is on a module with as many layers, moving layers and fades as there can be.
func TestNoFrameIsLateOnTheFullestModule(t *testing.T) {
	l := must[measure.Load](t)(rig.Fullest(bg, 192))
	judgeLoad(t, l)
	judgeEstimate(t, l)
}

// judgeEstimate holds what the compiler foresees against the processor: never less than the truth, and not so much more that good
// modules are refused.
func judgeEstimate(t *testing.T, l measure.Load) {
	t.Helper()
	if job := l.Job(); job > l.Estimate || job < l.Estimate*3/4 {
		t.Errorf("%s: the busiest frame job took %d cycles, the compiler foresees %d", l.What, job, l.Estimate)
	}
}

func judgeLoad(t *testing.T, l measure.Load) {
	t.Helper()
	judge(t, l.Figures())
	if l.Mean <= l.Interrupt || l.WorstFrame < l.Mean || l.Frames < 1900 || l.Interrupt < 0.05 {
		t.Errorf("the measure contradicts itself: %+v", l)
	}
}

// The chain is dark while its short words are shifted: 350 of 8000 cycles (firmware/avr/widths.h); the pins never, but for the
// 20 cycles by which the border of a long word may wander.
func TestDarkShare(t *testing.T) {
	for _, c := range []struct {
		board string
		most  float64
	}{{"chain-64", (350 + 20) / 8000.0}, {"pins", 20 / 8000.0}} {
		board, most := c.board, c.most
		d := must[measure.Dark](t)(rig.Dark(bg, board))
		judge(t, d.Figures())
		if d.Forced > most || d.Level <= 0 || d.Level > most+30/8000.0 || d.Level > d.WorstRefresh {
			t.Errorf("%+v, want at most %v with the stop override", d, most)
		}
	}
}
