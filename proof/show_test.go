package proof_test

import (
	"testing"
	"time"
)

// A show that a signal interrupted goes on as if nothing had been, or ends until it is asked for anew, as the job says.
func TestInterruptedShow(t *testing.T) {
	t.Parallel()
	onBoth(t, func(t *testing.T, play player) {
		k, r := job(t, demoJob)
		record := func(presses string) map[int][][]outputs {
			shown := map[int][][]outputs{}
			play(t, k, r, timeline(t, presses), 4*time.Second, func(i int, v seen) {
				shown[i] = append(shown[i], byGroup(r.Modules[i].Of, v.words))
			})
			return shown
		}
		alone, cut := record("remote-1@100ms..5s"), record("remote-1@100ms..5s stop@1s..2s")
		const gone = 2040 // refreshes after which the stop must be wholly gone: 2 s, filters and frames
		differs := 0
		for i := range r.Modules {
			for n := range min(len(alone[i]), len(cut[i])) {
				for slot := range alone[i][n] {
					if alone[i][n][slot] == cut[i][n][slot] {
						continue
					}
					if differs++; n >= 2*gone {
						t.Fatalf("%s, refresh %d: the show does not go on as if the stop had not been", r.Modules[i].Of.Name, n)
					}
				}
			}
		}
		if differs < 1000 {
			t.Errorf("the stop changed only %d words", differs)
		}
		for i := range r.Modules {
			if len(alone[i]) < 7900 {
				t.Fatalf("only %d refreshes were seen", len(alone[i]))
			}
		}

		k, r = job(t, "../examples/lamps/ring.yaml")
		_, ring := layerOf(t, r.Modules[0], "chase")
		var before, after, again int
		play(t, k, r, timeline(t, "chase@100ms..3s stop@1s..1500ms chase@3200ms..4s"), 4*time.Second, func(i int, v seen) {
			lit := v.lit&ring != 0
			switch {
			case lit && v.at > 200*ms && v.at < time.Second:
				before++
			case lit && v.at > 1530*ms && v.at < 3200*ms:
				after++
			case lit && v.at > 3250*ms:
				again++
			}
		})
		if before < 1000 || after != 0 || again < 1000 {
			t.Errorf("the show was lit in %d refreshes before the stop, %d after it and %d when asked anew", before, after, again)
		}
	})
}

// A show ends at its limit, never later, though its switch stays on; a new press begins it anew.
func TestShowLimit(t *testing.T) {
	t.Parallel()
	k, r := changed(t, "../examples/lamps/high-stop.yaml", "limit: 1 min", "limit: 2 s")
	onBoth(t, func(t *testing.T, play player) {
		var last, anew time.Duration
		play(t, k, r, timeline(t, "display@100ms..4s display@4100ms..5s"), 5*time.Second, func(_ int, v seen) {
			if v.lit != 0 && v.at < 4100*ms {
				last = v.at
			}
			if v.lit != 0 && v.at >= 4100*ms {
				anew = v.at
			}
		})
		// The limit counts in steps of 256 ms, so that a show ends up to two steps early (docs/engine.md, section 4.1).
		if last > 2100*ms || last < 2100*ms-2*256*ms-20*ms {
			t.Errorf("a show that began at 0.1 s with a limit of 2 s ended at %v", last)
		}
		if anew < 4900*ms {
			t.Errorf("asked for anew, it was last lit at %v", anew)
		}
	})
}
