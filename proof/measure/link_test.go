package measure_test

import (
	"testing"
	"time"

	"lampwright/proof/measure"
)

// A leader and a follower on simulated processors whose clocks are off by half a per cent either way.
func TestLinkedShowsWithin5msAfterTheFirstLoop(t *testing.T) {
	for _, c := range []struct {
		ticks int
		ppm   float64
	}{{500, 5000}, {500, -5000}, {375, 5000}, {1000, -5000}} {
		s := must[measure.Skew](t)(rig.Skew(bg, c.ticks, c.ppm, true))
		judge(t, s.Figures())
		if s.Ticks < 3000 {
			t.Errorf("only %d ticks were compared", s.Ticks)
		}
	}
	// Without the wire the clocks drift apart, 1 % of the time that has passed, and the measure must see it.
	s := must[measure.Skew](t)(rig.Skew(bg, 500, 5000, false))
	judge(t, s.Figures())
	if s.Later < 130*time.Millisecond || s.Later > 190*time.Millisecond {
		t.Errorf("without a wire the modules are %v apart after 17 s with clocks 1 %% apart", s.Later)
	}
}

// Whatever the link wire does, every word of every signal is that of a module without a link.
func TestLinkWireNeverTouchesASignal(t *testing.T) {
	moved := 0
	for _, w := range must[[]measure.WireFault](t)(rig.Wires(bg)) {
		judge(t, w.Figures())
		if w.Modules != 2 || w.Words < 300_000 {
			t.Errorf("%s: %d words of %d modules were compared", w.Name, w.Words, w.Modules)
		}
		moved += w.ShowMove
	}
	if moved == 0 {
		t.Error("no fault of the wire even moved the show: nothing was tested")
	}
}
