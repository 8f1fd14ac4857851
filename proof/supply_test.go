package proof_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"lampwright/proof"
)

// back is how soon stop and turn are lit again once the supply is back.
const back = 20 * ms

// steadied is when a supply has been read for certain, and has acted: two frames to the code, two to the light.
const steadied = 25 * ms

// Above the set voltage (24 V, a jump start) shows end and every light has half its duty, stop too; below it light is whole again, and the
// show waits to be asked for anew.
func TestHighSupply(t *testing.T) {
	t.Parallel()
	driven(t, func(t *testing.T, drive drive) {
		k, r := aCar(t)
		count := tally{}
		drive(t, k, r, "supply=24V@1s..2s switch@100ms..2500ms switch@2600ms..3s stop@500ms..3s turn-lh@500ms..3s turn-rh@500ms..3s", func(i int, v seen) {
			name := r.Modules[i].Of.Name
			halved := during(v.at, time.Second+steadied, 2*time.Second)
			whole := during(v.at, 800*ms, time.Second) || during(v.at, 2*time.Second+steadied, 3*time.Second)
			for o := range 8 { // arrow and block
				switch e := v.eighths(o); {
				case halved && e != 127:
					t.Errorf("%s at %v: output %d has a duty of %d eighths, want 127", name, v.at, o+1, e)
				case whole && e != 255:
					t.Errorf("%s at %v: output %d has a duty of %d eighths, want 255", name, v.at, o+1, e)
				case halved:
					count["halved"]++
				case whole:
					count["whole"]++
				}
			}
			switch lit := v.lit&carEdge != 0; {
			case during(v.at, 400*ms, time.Second) || during(v.at, 2700*ms, 3*time.Second):
				if count["show"]++; !lit {
					t.Errorf("%s at %v: the show is dark", name, v.at)
				}
			case during(v.at, time.Second+steadied, 2600*ms):
				if count["no show"]++; lit {
					t.Errorf("%s at %v: the show is lit", name, v.at)
				}
			}
		})
		count.least(t, 1000, "halved", "whole", "show", "no show")
	})
}

// Below the set voltage shows end, and signals do not.
func TestLowSupplyEndsShows(t *testing.T) {
	t.Parallel()
	driven(t, func(t *testing.T, drive drive) {
		k, r := aCar(t)
		count := tally{}
		drive(t, k, r, "supply=11.5V@1s..2s switch@100ms..2500ms switch@2600ms..3s stop@500ms..3s", func(i int, v seen) {
			name := r.Modules[i].Of.Name
			if during(v.at, 600*ms, 3*time.Second) {
				if count["stop"]++; carBlock&^v.full != 0 {
					t.Errorf("%s at %v: the stop is not full", name, v.at)
				}
			}
			switch lit := v.lit&carEdge != 0; {
			case during(v.at, 400*ms, time.Second) || during(v.at, 2700*ms, 3*time.Second):
				if count["show"]++; !lit {
					t.Errorf("%s at %v: the show is dark", name, v.at)
				}
			case during(v.at, time.Second+steadied, 2600*ms):
				if count["no show"]++; lit {
					t.Errorf("%s at %v: the show is lit", name, v.at)
				}
			}
		})
		count.least(t, 1000, "stop", "show", "no show")
	})
}

// Heat ends shows first; hotter, light is halved, but for the stop.
func TestHeat(t *testing.T) {
	t.Parallel()
	driven(t, func(t *testing.T, drive drive) {
		k, r := aCar(t)
		count := tally{}
		drive(t, k, r, "heat=92C@1s..2s heat=115C@2s..3s switch@100ms..2900ms stop@500ms..4s turn-lh@500ms..4s turn-rh@500ms..4s", func(i int, v seen) {
			name := r.Modules[i].Of.Name
			hot := during(v.at, 2*time.Second+steadied, 3*time.Second)
			if during(v.at, 800*ms, 4*time.Second) && carBlock&^v.full != 0 {
				t.Errorf("%s at %v: the stop is not full", name, v.at)
			}
			if hot {
				if count["hot"]++; v.eighths(0) != 127 {
					t.Errorf("%s at %v: the turn has a duty of %d eighths", name, v.at, v.eighths(0))
				}
			}
			if during(v.at, time.Second+steadied, 2*time.Second) || during(v.at, 3*time.Second+steadied, 4*time.Second) {
				if count["warm"]++; v.full&carArrow != carArrow {
					t.Errorf("%s at %v: the turn is not full", name, v.at)
				}
			}
			if lit := v.lit&carEdge != 0; during(v.at, 400*ms, time.Second) && !lit || during(v.at, time.Second+steadied, 4*time.Second) && lit {
				t.Errorf("%s at %v: the show is lit: %v", name, v.at, lit)
			}
		})
		count.least(t, 1000, "hot", "warm")
	})
}

// Held stop and turn do not so much as flicker at 6.5 V, in a dip to 6.5 V for 20 ms and 9 V for a second after it, or in the longer
// one of a starting engine.
func TestSignalsBridgeDips(t *testing.T) {
	t.Parallel()
	driven(t, func(t *testing.T, drive drive) {
		for _, fed := range []string{"fed: {fuse: F3}", "fed: {fuse: F3, also: [stop, tail]}"} {
			for _, dip := range []string{"supply=6.5V@1s..2s", "supply=6.5V@1s..1020ms supply=9V@1020ms..2020ms", "battery=gone@1s..1015ms"} {
				k, r := aCar(t, "fed: {fuse: F3}", fed)
				count := tally{}
				starts := drive(t, k, r, dip+" stop@500ms..2500ms turn-lh@500ms..2500ms turn-rh@500ms..2500ms", func(i int, v seen) {
					if during(v.at, 800*ms, 2500*ms) {
						if count["lit"]++; (carBlock|carArrow)&^v.full != 0 {
							t.Errorf("%s, %s at %v: full are %x", dip, r.Modules[i].Of.Name, v.at, v.full)
						}
					}
				})
				count.least(t, 6000, "lit")
				for i, n := range starts {
					if n != 1 {
						t.Errorf("%s: module %d started %d times", dip, i, n)
					}
				}
			}
		}
	})
}

// After a supply that was too low, or gone, and after a reset, held stop and turn are lit within 20 ms, at any phase; what was learned
// and when a return is one does not matter to that.
func TestSignalsComeBack(t *testing.T) {
	t.Parallel()
	driven(t, func(t *testing.T, drive drive) {
		random := rand.New(rand.NewPCG(6, 5))
		k, r := aCar(t)
		for _, what := range []string{"supply=3V", "supply=5V", "battery=gone"} {
			text := "stop@300ms..20s turn-lh@300ms..20s turn-rh@300ms..20s"
			var gone, again []time.Duration
			for n := range 10 {
				from := time.Duration(1+n)*600*ms + time.Duration(random.IntN(20_000))*us
				to := from + 30*ms + time.Duration(random.IntN(200_000))*us
				text += fmt.Sprintf(" %s@%dus..%dus", what, from/us, to/us)
				gone, again = append(gone, from), append(again, to)
			}
			comeBack(t, what, gone, again, func(tell witness) []int { return drive(t, k, r, text, tell) })
		}
	})
}

// The same after a reset of the controller alone.
func TestSignalsComeBackFromReset(t *testing.T) {
	t.Parallel()
	random := rand.New(rand.NewPCG(7, 5))
	k, r := aCar(t)
	var resets []proof.Event
	var at []time.Duration
	for n := range 10 {
		at = append(at, time.Duration(1+n)*600*ms+time.Duration(random.IntN(20_000))*us)
		resets = append(resets, proof.Reset(at[n], 0), proof.Reset(at[n], 1))
	}
	comeBack(t, "reset", at, at, func(tell witness) (starts []int) {
		for _, m := range withEvents(t, k, r, conditions(t, "stop@300ms..7s turn-lh@300ms..7s turn-rh@300ms..7s"), 7*time.Second, resets, tell).Modules {
			starts = append(starts, len(m.Boots))
		}
		return starts
	})
}

// comeBack judges that stop and turn are lit from 20 ms after each return on.
func comeBack(t *testing.T, what string, gone, again []time.Duration, play func(witness) []int) {
	t.Helper()
	count := tally{}
	next := []int{0, 0}
	starts := play(func(i int, v seen) {
		for next[i] < len(gone) && v.at >= again[next[i]]+back {
			next[i]++
		}
		n := next[i]
		if n == 0 || n == len(gone) || v.at >= gone[n] {
			return // before the first, after the last, or under way
		}
		if count["back"]++; (carBlock|carArrow)&^v.full != 0 {
			t.Errorf("%s: module %d at %v, %v after the supply came: full are %x", what, i, v.at, v.at-again[n-1], v.full)
		}
	})
	count.least(t, 10_000, "back")
	for i, n := range starts {
		if n != len(gone)+1 {
			t.Errorf("%s: module %d started %d times, not %d", what, i, n, len(gone)+1)
		}
	}
}

// Without its battery feed a module lives on the wires of stop and tail and its own turn: each is plainly lit within 20 ms of its press
// and dark with its release.
func TestPlainSignalsWithoutBattery(t *testing.T) {
	t.Parallel()
	driven(t, func(t *testing.T, drive drive) {
		k, r := aCar(t, "edge: 9..12}, fed: {fuse: F3}}\n  right", "edge: 9..12}, fed: {fuse: F3, also: [stop, turn-lh, tail]}}\n  right",
			"edge: 9..12}, fed: {fuse: F3}}\nguard", "edge: 9..12}, fed: {fuse: F3, also: [stop, turn-rh, tail]}}\nguard")
		const presses = "stop@500ms..1500ms turn-lh@2s..4s~90/min:50% turn-rh@2s..4s~90/min:50% tail@4500ms..5500ms stop@5s..5300ms"
		line := conditions(t, presses)
		count := tally{}
		type follow struct {
			name string
			set  outputs
			wire []wire // of each module
		}
		var all []*follow
		for name, set := range map[string]outputs{"stop": carBlock, "turn": carArrow, "tail": carEdge} {
			f := &follow{name: name, set: set}
			for _, side := range []string{"-lh", "-rh"} {
				if name != "turn" {
					side = ""
				}
				f.wire = append(f.wire, wire{spans: line.Spans(name + side), never: true})
			}
			all = append(all, f)
		}
		starts := drive(t, k, r, "battery:F3=gone "+presses, func(i int, v seen) {
			for _, f := range all {
				w := &f.wire[i]
				w.to(v.at)
				switch {
				case w.held(v.at, back):
					if count[f.name]++; v.lit&f.set != f.set {
						t.Errorf("module %d at %v: %s is pressed, lit are %x", i, v.at, f.name, v.lit)
					}
				case w.gone(v.at, release):
					if count["no "+f.name]++; v.lit&f.set != 0 {
						t.Errorf("module %d at %v: %s is released, lit are %x", i, v.at, f.name, v.lit)
					}
				}
			}
		})
		count.least(t, 1000, "stop", "turn", "tail", "no turn", "no stop")
		for i, n := range starts {
			if n < 5 {
				t.Errorf("module %d started only %d times", i, n)
			}
		}
	})
}
