package proof_test

import (
	"bytes"
	"fmt"
	"os"
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

// changed reads a job file in which some words are replaced; each must be there.
func changed(t testing.TB, path string, pairs ...string) (*kit.Kit, *compile.Result) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(pairs); i += 2 {
		if !bytes.Contains(text, []byte(pairs[i])) {
			t.Fatalf("%s does not say %q", path, pairs[i])
		}
		text = bytes.ReplaceAll(text, []byte(pairs[i]), []byte(pairs[i+1]))
	}
	k, faults := kit.Parse(path, text, kit.NoFiles)
	if k == nil {
		t.Fatal(faults)
	}
	return k, compiled(t, k)
}

// layerOf finds a layer of a module by the name of its input.
func layerOf(t testing.TB, m *compile.Module, input string) (int, outputs) {
	t.Helper()
	for i, l := range m.Layers {
		if l.Of.Input.Name == input {
			return i, setOf(m.Program.Layers[i].Slots)
		}
	}
	t.Fatalf("module %s has no layer for %s", m.Of.Name, input)
	return 0, 0
}

func moduleOf(t testing.TB, r *compile.Result, name string) int {
	t.Helper()
	for i, m := range r.Modules {
		if m.Of.Name == name {
			return i
		}
	}
	t.Fatalf("there is no module %s", name)
	return 0
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
