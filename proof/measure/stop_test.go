package measure_test

import (
	"testing"
	"time"

	"lampwright/proof/measure"
)

// From the edge at the pin to the first wholly lit refresh, in 1000 random phases each: with nothing else lit, while a show
// fades every output, and with the main loop hung.
func TestStopWithin5msOver1000Phases(t *testing.T) {
	for _, board := range []string{"chain-64", "pins"} {
		for _, when := range []measure.StopCase{measure.StopIdle, measure.StopShow, measure.StopHung} {
			s := must[measure.Stop](t)(rig.Stop(bg, board, when))
			judge(t, s.Figures())
			if s.Latency.N < 1000 {
				t.Errorf("only %d phases", s.Latency.N)
			}
			// A filter of seven samples cannot answer sooner than six refreshes after the first of them.
			if s.Latency.Mean < 3*time.Millisecond {
				t.Errorf("a mean of %v is less than the filter takes: something else lit the lamp", s.Latency.Mean)
			}
		}
	}
}

// A stop input that is held at power-on, or when the watchdog resets a hung module, is lit again within 20 ms.
func TestStopLightWithin20msOfReset(t *testing.T) {
	for _, board := range []string{"chain-64", "pins"} {
		r := must[measure.Reset](t)(rig.Reset(bg, board))
		judge(t, r.Figures())
		if r.Hung.Max < 40*time.Millisecond || r.Watchdog.N < 20 || r.PowerOn.N < 20 {
			t.Errorf("the watchdog's resets are not what they should be: %+v", r)
		}
	}
}
