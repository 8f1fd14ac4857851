package measure_test

import (
	"testing"
	"time"

	"lampwright/proof/measure"
)

const root = "../.."

// From the edge at the pin to the first light of the first group, over random phases, in the demo job's modules.
func TestTurnWithin12ms(t *testing.T) {
	for _, of := range []struct{ module, signal string }{{"rear-lh", "turn-lh"}, {"nose-rh", "nose-rh"}} {
		for _, one := range must[[]measure.Turn](t)(rig.Turn(bg, root, of.module, of.signal)) {
			judge(t, one.Figures())
			if one.Latency.N < 40 || one.Latency.Mean < 6*time.Millisecond {
				t.Errorf("sooner than filter and two frames allow, or too few: %+v", one)
			}
		}
	}
}
