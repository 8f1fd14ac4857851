package proof_test

import (
	"testing"
	"time"
)

// A load that stands in for a bulb, on output 16 of the left module: drawn only while the car looks, dropped while the lamp's own sense says
// that its light is not whole, and never drawn for another input. The road's light does not mind.
func TestLoadOnlyWhileTheCarLooks(t *testing.T) {
	t.Parallel()
	const load outputs = 1 << 15
	k, r := aCar(t, "routines:\n", "outages:\n  - look: {input: stop, on: left.16, kind: message, threshold: 60 mA, window: 150 ms, load: 150 ohm, rating: 1 W}\nroutines:\n")
	sensed, rSensed := aCar(t, "routines:\n", "outages:\n  - look: {input: turn-lh, on: left.16, kind: flash-rate, threshold: 60 mA, load: 150 ohm, rating: 3 W, sense: parked}\nroutines:\n")
	driven(t, func(t *testing.T, drive drive) {
		count := tally{}
		drive(t, k, r, "tail@200ms..4s stop@1s..2s stop@2500ms..3500ms turn-lh@300ms..3s", func(i int, v seen) {
			if i > 0 {
				return
			}
			drawn := v.lit&load != 0
			looks := during(v.at, 1020*ms, 1150*ms) || during(v.at, 2520*ms, 2650*ms)
			near := during(v.at, time.Second, 1200*ms) || during(v.at, 2500*ms, 2700*ms)
			if looks && !drawn || !near && drawn {
				t.Errorf("at %v the load is drawn: %v", v.at, drawn)
			}
			if during(v.at, 1020*ms, 2*time.Second) && carBlock&^v.full != 0 {
				t.Errorf("at %v the stop is not full", v.at)
			}
			if looks {
				count["looks"]++
			} else if !near {
				count["looks not"]++
			}
		})
		count.least(t, 500, "looks", "looks not")
		// parked is the sense here: the lamp is whole in the first two flashes, then it fails.
		drive(t, sensed, rSensed, "turn-lh@1s..5s~60/min:50% parked@1s..1500ms parked@2s..2500ms", func(i int, v seen) {
			if i > 0 {
				return
			}
			drawn := v.lit&load != 0
			switch {
			case during(v.at, 1050*ms, 1490*ms) || during(v.at, 2050*ms, 2490*ms):
				if count["whole"]++; !drawn {
					t.Errorf("at %v the lamp is whole and the load is not drawn", v.at)
				}
			case during(v.at, 1550*ms, 2*time.Second) || during(v.at, 2550*ms, 6*time.Second) || v.at < time.Second:
				if count["failed"]++; drawn {
					t.Errorf("at %v the load is drawn", v.at)
				}
			}
			if during(v.at, 3300*ms, 3490*ms) && v.lit&carArrow == 0 {
				t.Errorf("at %v what is left of the turn is dark", v.at)
			}
		})
		count.least(t, 500, "whole", "failed")
	})
}
