package proof_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/proof"
	"lampwright/script"
)

type player = func(testing.TB, *kit.Kit, *compile.Result, *script.Timeline, time.Duration, witness)

// onBoth runs a test on reference engines and on the HEX.
func onBoth(t *testing.T, test func(*testing.T, player)) {
	t.Helper()
	t.Run("engine", func(t *testing.T) { test(t, onEngines) })
	t.Run("HEX", func(t *testing.T) { test(t, onHEX) })
}

// A return within the repeat window skips the arrive routine, one frame later it does not: presses are let go for a time that
// grows by half a millisecond from press to press, so that the frame before the boundary, the boundary and the one after it
// are all met.
func TestRepeatWindowBoundary(t *testing.T) {
	t.Parallel()
	const window = 25 // frames
	k, r := changed(t, "../examples/lamps/high-stop.yaml",
		"use: road-us", "use: show-only",
		"takes: bar, stay: bright}", "takes: bar, arrive: bloom, stay: bright, repeat-window: 100 ms}",
		"  bright:", "  bloom: {length: 80 ms, strokes: [{sweep: {direction: outward, for: 80 ms, edge: 30 mm}}]}\n  bright:")
	_, bar := layerOf(t, r.Modules[0], "stop")
	var words []string
	at := 40 * ms
	for gap := 95 * ms; gap < 119*ms; gap += 500 * us {
		words = append(words, fmt.Sprintf("stop@%dus..%dus", at/us, (at+250*ms)/us))
		at += 250*ms + gap
	}
	words = append(words, fmt.Sprintf("stop@%dus..%dus", at/us, (at+250*ms)/us))
	onBoth(t, func(t *testing.T, play player) {
		frames := map[string]map[int]int{"skips": {}, "arrives": {}}
		dark, was := 0, false // refreshes since it was full; it was full
		play(t, k, r, timeline(t, strings.Join(words, " ")), at+100*ms, func(_ int, v seen) {
			switch full := bar&^v.full == 0; {
			case full && was && dark > 0: // came back at once
				frames["skips"][dark/8]++
				dark = 0
			case full:
				was, dark = true, 0
			case was && bar&v.lit == 0:
				dark++
			case was: // came back growing; tick 0 of the routine is dark
				frames["arrives"][dark/8-1]++
				was, dark = false, 0
			}
		})
		for how, from := range map[string]int{"skips": window - 2, "arrives": window} {
			for d := from; d < from+2; d++ {
				if frames[how][d] == 0 {
					t.Errorf("no return after %d frames %s: %v", d, how, frames)
				}
			}
		}
		for d := range frames["skips"] {
			if d >= window {
				t.Errorf("a return after %d frames skips arrive, the window is %d", d, window)
			}
		}
		for d := range frames["arrives"] {
			if d < window {
				t.Errorf("a return after %d frames plays arrive, the window is %d", d, window)
			}
		}
	})
}

// One red zone serves stop and turn: the turn takes it on its own side only, whatever comes first and whatever ends first.
func TestTurnOverStopOnItsSideOnly(t *testing.T) {
	t.Parallel()
	k, r := job(t, "../examples/lamps/strip.yaml")
	for _, presses := range []string{
		"stop@100ms..4s turn-lh@500ms..3s~90/min:50%",                                   // braking, then turning
		"turn-lh@100ms..3s~90/min:50%!3ms stop@1060ms..4s!4ms",                          // turning, then braking
		"turn-lh@100ms..3s~90/min:50% stop@100ms..4s",                                   // both at once
		"stop@100ms..2040ms turn-lh@101ms..3s~90/min:50% stop@2700ms..4s tail@50ms..4s", // the stop goes and comes between flashes
		"turn-rh@100ms..3s~90/min:50% stop@700ms..4s tail@900ms..4s",
		"turn-rh@100ms..3s~120/min:30% turn-lh@100ms..3s~120/min:30% stop@50ms..4s", // hazard
	} {
		onBoth(t, func(t *testing.T, play player) {
			darkOver, other := 0, 0
			for i, road := range watched(t, k, r, presses, play) {
				side := strings.TrimPrefix(k.Lamps[i].Name, "strip-")
				darkOver += road.judged["turn-"+side+" is between two flashes: dark"]
				if !strings.Contains(presses, "turn-"+side) {
					other += road.judged["stop is on: full"]
				}
			}
			if darkOver < 1000 || other < 1000 && !strings.Contains(presses, "turn-rh@100ms..3s~120") {
				t.Errorf("%d refreshes between flashes and %d of the other side were judged", darkOver, other)
			}
		})
	}
}

// Hazard: both sides sweep and flash together, refresh by refresh, group by group.
func TestHazardFlashesBothSides(t *testing.T) {
	t.Parallel()
	k, r := job(t, demoJob)
	onBoth(t, func(t *testing.T, play player) {
		for _, pair := range [][2]string{{"rear-lh", "rear-rh"}, {"nose-lh", "nose-rh"}} {
			lit := mirrored(t, k, r, pair, "turn-lh@100ms..4s~90/min:50% turn-rh@100ms..4s~90/min:50%", play)
			if lit < 2000 {
				t.Errorf("%v were lit together for %d refreshes only", pair, lit)
			}
		}
	})
}

// mirrored plays a script and demands that two lamps of opposite hands show the same, group by group, in every slot of every
// refresh. It gives the refreshes in which they were lit.
func mirrored(t *testing.T, k *kit.Kit, r *compile.Result, pair [2]string, presses string, play player) (lit int) {
	t.Helper()
	a, b := moduleOf(t, r, pair[0]), moduleOf(t, r, pair[1])
	line := timeline(t, presses)
	shown := map[int][][]outputs{}
	play(t, k, r, line, time.Duration(line.End())*us+200*ms, func(i int, v seen) {
		if i == a || i == b {
			shown[i] = append(shown[i], byGroup(r.Modules[i].Of, v.words))
		}
	})
	for n := range min(len(shown[a]), len(shown[b])) {
		was := lit
		for slot, lh := range shown[a][n] {
			if rh := shown[b][n][slot]; lh != rh {
				t.Fatalf("refresh %d, slot %d: groups %x of %s are lit and %x of %s", n, slot, lh, pair[0], rh, pair[1])
			}
			if lh != 0 {
				lit = was + 1
			}
		}
	}
	return lit
}

// byGroup turns words by output into words by group, bit g being group g of the module's lamp.
func byGroup(m *kit.Module, words []outputs) []outputs {
	out := make([]outputs, len(words))
	for i, w := range words {
		for g, o := range m.Output {
			if o >= 0 {
				out[i] |= w >> o & 1 << g
			}
		}
	}
	return out
}

// Contacts that bounce start a signal once and end it once.
func TestBouncingContacts(t *testing.T) {
	t.Parallel()
	const presses = 6
	k, r := job(t, demoJob)
	m := moduleOf(t, r, "rear-lh")
	_, block := layerOf(t, r.Modules[m], "stop")
	_, arrow := layerOf(t, r.Modules[m], "turn-lh")
	var words []string
	for n := range presses {
		words = append(words, fmt.Sprintf("stop@%dms..%dms!5ms turn-lh@%dms..%dms!5ms", 50+300*n, 200+300*n, 60+300*n, 230+300*n))
	}
	s, faults := script.Parse("script", []byte(strings.Join(words, " ")), nil)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	onBoth(t, func(t *testing.T, play player) {
		for seed := range uint64(5) {
			starts, ends := map[outputs]int{}, map[outputs]int{}
			dark := map[outputs]int{block: 8, arrow: 8} // refreshes; a whole frame without light is dark, less may be a dim level
			play(t, k, r, s.Timeline(seed), 50*ms+presses*300*ms, func(i int, v seen) {
				for set := range dark {
					switch {
					case i != m:
					case v.lit&set == 0:
						if dark[set]++; dark[set] == 8 {
							ends[set]++
						}
					default:
						if dark[set] >= 8 {
							starts[set]++
						}
						dark[set] = 0
					}
				}
			})
			for name, set := range map[string]outputs{"stop": block, "turn-lh": arrow} {
				if starts[set] != presses || ends[set] != presses {
					t.Errorf("seed %d: %s began %d times and ended %d times, pressed %d times", seed, name, starts[set], ends[set], presses)
				}
			}
		}
	})
}

// The same job gives the same bytes, run after run.
func TestSameJobSameHEX(t *testing.T) {
	for _, path := range examples(t) {
		_, one := job(t, path)
		_, other := job(t, path)
		for i := range one.Modules {
			a, err := proof.Ship(one.Modules[i])
			if err != nil {
				t.Fatal(err)
			}
			b, err := proof.Ship(other.Modules[i])
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(a.HEX, b.HEX) {
				t.Errorf("%s: two runs give different HEX files", a.Name)
			}
		}
	}
}
