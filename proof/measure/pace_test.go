package measure_test

import (
	"testing"
	"time"

	"lampwright/proof/measure"
)

func judgePace(t *testing.T, all []measure.Pace, atLeast int) {
	t.Helper()
	for _, p := range all {
		judge(t, p.Figures())
		if p.Flashes < atLeast {
			t.Errorf("%s: only %d flashes", p.What, p.Flashes)
		}
		if p.Earliest <= 0 {
			t.Errorf("%s: no sweep ends before its off edge", p.What)
		}
	}
}

// A steady flasher: from the third flash on the sweep ends within 5 ms before the off edge.
func TestSweepEndsWithinAFrameOfASteadyFlasher(t *testing.T) {
	judgePace(t, must[[]measure.Pace](t)(rig.PaceSteady(bg, root)), 60)
}

// A flasher that scatters by 5 %, or steps to another rate: from the tenth flash on fewer than one sweep in ten is unfinished, and
// none ends earlier than the scatter itself forces.
func TestSweepUnderJitterAndStep(t *testing.T) {
	all := must[[]measure.Pace](t)(rig.PaceJitter(bg, root))
	judgePace(t, all, 25)
	if len(all) != 14 {
		t.Errorf("%d flashers, want 9 shares, 3 on the processor and 2 steps", len(all))
	}
	for _, p := range all {
		if p.Bound > 65*time.Millisecond {
			t.Errorf("%s: the bound is %v", p.What, p.Bound)
		}
	}
}

// A dropout of half a second and an odd flash do not throw the pace: from the second flash after it on it is as steady as before.
func TestSweepIsNotThrownByAnOddFlash(t *testing.T) {
	judgePace(t, must[[]measure.Pace](t)(rig.PaceOdd(bg, root)), 6)
}
