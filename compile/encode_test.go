package compile

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lampwright/program"
)

// playEvents shows what events mean: levels of each tick and slot by the test's own stepper.
func playEvents(events []event, ticks, slots int, loops bool) [][]int32 {
	rows := ticks + 1
	if loops {
		rows = ticks
	}
	out := make([][]int32, rows)
	for t := range out {
		out[t] = make([]int32, slots)
	}
	sorted := slices.Clone(events)
	sortEvents(sorted)
	for s := range slots {
		var fades []fade
		for _, e := range sorted {
			if int(e.slot) == s {
				fades = append(fades, fade{Tick: e.tick, Level: e.level, Ticks: int(e.ticks)})
			}
		}
		for t, level := range play(fades, rows-1) {
			out[t][s] = level
		}
	}
	return out
}

// checkPlays fails if the engine's player shows anything else than the events mean.
func checkPlays(t interface{ Fatalf(string, ...any) }, r *program.Routine, events []event, ticks, slots int) {
	got, want := program.PlayRoutine(r, slots), playEvents(events, ticks, slots, r.Loops)
	if len(got) != len(want) {
		t.Fatalf("%d ticks, want %d", len(got), len(want))
	}
	for k := range want {
		for s := range want[k] {
			if int32(got[k][s]) != want[k][s] {
				t.Fatalf("tick %d slot %d: level %d, want %d\n%v\n% x", k, s, got[k][s], want[k][s], events, r.Code)
			}
		}
	}
	p := program.NewPlayer(r, slots)
	for range ticks {
		p.Tick()
	}
	if r.Loops && p.Position() != 0 || p.Ended() == r.Loops {
		t.Fatalf("after %d ticks: position %d, ended %v", ticks, p.Position(), p.Ended())
	}
}

// drawEvents draws stretches that repeat under shifts, and single fades between them.
func drawEvents(t *rapid.T, slots int) (events []event, ticks int) {
	now := 0
	for range rapid.IntRange(1, 5).Draw(t, "parts") {
		var body []event
		length := rapid.IntRange(1, 400).Draw(t, "length")
		for range rapid.IntRange(0, 6).Draw(t, "events") {
			body = append(body, event{
				tick:  rapid.IntRange(0, length-1).Draw(t, "tick"),
				slot:  uint8(rapid.IntRange(0, slots-1).Draw(t, "slot")),
				level: rapid.Uint8().Draw(t, "level"),
				ticks: rapid.SampledFrom([]uint8{0, 0, 1, 5, 62, 63, 255}).Draw(t, "over"),
			})
		}
		shift := rapid.IntRange(-3, 3).Draw(t, "shift")
		for pass := range rapid.IntRange(1, 8).Draw(t, "passes") {
			for _, e := range body {
				e.tick += now
				e.slot = uint8((int(e.slot) + shift*pass + 64*slots) % slots)
				events = append(events, e)
			}
			now += length
		}
	}
	// One event a slot, tick and length; and the last tick of a loop holds none.
	slices.SortFunc(events, func(a, b event) int {
		return (a.tick-b.tick)*1e6 + (int(a.slot)-int(b.slot))*1000 + int(a.ticks) - int(b.ticks)
	})
	return slices.CompactFunc(events, func(a, b event) bool {
		return a.tick == b.tick && a.slot == b.slot && a.ticks == b.ticks
	}), now
}

func TestEncodedRoutinePlaysItsEventsExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slots := rapid.IntRange(1, 64).Draw(t, "slots")
		events, ticks := drawEvents(t, slots)
		loops := rapid.Bool().Draw(t, "loops")
		r, err := encode(slices.Clone(events), ticks, loops)
		if err != nil {
			t.Fatalf("%v", err)
		}
		checkPlays(t, r, events, ticks, slots)
		literal := 1
		for _, tok := range tokens(moments(sorted(events)), ticks) {
			literal += int(tok.bytes())
		}
		if len(r.Code) > literal {
			t.Fatalf("%d bytes, %d without any loop", len(r.Code), literal)
		}
	})
}

func sorted(events []event) []event {
	events = slices.Clone(events)
	sortEvents(events)
	return events
}

// shortestByTrial parses tokens in every way: recursion over all spans and all loops, without the packer's search.
func shortestByTrial(tokens []token, deep int, memo map[string]int) int {
	if len(tokens) == 0 {
		return 0
	}
	key := fmt.Sprint(deep, tokens)
	if n, ok := memo[key]; ok {
		return n
	}
	best := int(tokens[0].bytes()) + shortestByTrial(tokens[1:], deep, memo)
	equal := func(a, b token, shift int) bool {
		return a.kind == b.kind && a.value == b.value && (a.kind != fadeToken || int(b.slot)-int(a.slot) == shift)
	}
	for n := 2; n <= len(tokens) && tokens[0].kind == fadeToken && equal(tokens[n-2], tokens[n-1], 1); n++ {
		best = min(best, 4+shortestByTrial(tokens[n:], deep, memo))
	}
	for body := 1; deep > 0 && 2*body <= len(tokens); body++ {
		for shift := -64; shift <= 64; shift++ {
			passes := 1
			for next := passes * body; next+body <= len(tokens); next += body {
				same := true
				for i := range body {
					same = same && equal(tokens[next-body+i], tokens[next+i], shift)
				}
				if !same {
					break
				}
				passes++
				best = min(best, 4+shortestByTrial(tokens[:body], deep-1, memo)+shortestByTrial(tokens[passes*body:], deep, memo))
			}
		}
	}
	memo[key] = best
	return best
}

func TestPackedCodeIsShortestAgainstTrialOfEveryParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var tokens []token
		for range rapid.IntRange(1, 3).Draw(t, "parts") {
			var body []token
			for range rapid.IntRange(1, 3).Draw(t, "body") {
				kind := rapid.SampledFrom([]uint8{fadeToken, fadeToken, waitToken, overToken}).Draw(t, "kind")
				tok := token{kind: kind, value: uint16(rapid.IntRange(1, 2).Draw(t, "value"))}
				if kind == fadeToken {
					tok.slot = uint8(rapid.IntRange(10, 12).Draw(t, "slot"))
				}
				body = append(body, tok)
			}
			shift := rapid.IntRange(-1, 1).Draw(t, "shift")
			for pass := range rapid.IntRange(1, 4).Draw(t, "passes") {
				for _, tok := range body {
					if tok.kind == fadeToken {
						tok.slot += uint8(shift * pass)
					}
					tokens = append(tokens, tok)
				}
			}
		}
		var code program.Coder
		pack(&code, tokens, loopsDeep)
		r, err := code.End()
		if err != nil {
			t.Fatal(err)
		}
		got, want := len(r.Code)-1, shortestByTrial(tokens, loopsDeep, map[string]int{})
		if got != want {
			t.Fatalf("%d bytes, trial finds %d: %v", got, want, tokens)
		}
	})
}

// wipe lights slots one after another, every tick further, with fades; times repeats of it with a clear between.
func wipe(slots, times int) (events []event, ticks int) {
	for n := range times {
		for s := range slots {
			events = append(events, event{tick: n*200 + s*2, slot: uint8(s), level: 255, ticks: 10})
		}
		for s := range slots {
			events = append(events, event{tick: n*200 + 190, slot: uint8(s), level: 0})
		}
	}
	return events, 200 * times
}

func TestKnownRoutinesPackDensely(t *testing.T) {
	for _, c := range []struct{ slots, times, most int }{
		{12, 1, 19},
		{64, 1, 19},
		{64, 10, 23},
	} {
		events, ticks := wipe(c.slots, c.times)
		r, _ := encode(events, ticks, true)
		checkPlays(t, r, events, ticks, c.slots)
		if len(r.Code) > c.most {
			t.Errorf("%d slots, %d times: %d bytes, want at most %d: % x", c.slots, c.times, len(r.Code), c.most, r.Code)
		}
		if frames := c.slots * ticks * 4 / 10; frames < 20*len(r.Code) {
			t.Errorf("%d bytes against %d of full frames", len(r.Code), frames)
		}
	}
}

func TestMoreOperationsThanATickMayHoldAreRefused(t *testing.T) {
	busy := func(slots, lengths int) (events []event) {
		for s := range slots {
			for n := range lengths {
				events = append(events, event{slot: uint8(s), level: uint8(s), ticks: uint8(n + lengths*s)})
			}
		}
		return events
	}
	if _, err := encode(busy(63, 2), 300, false); err != nil { // 126 fades of as many lengths: 252 operations
		t.Errorf("%v", err)
	}
	if r, err := encode(busy(64, 3), 300, false); err == nil {
		t.Errorf("%d bytes of code for 192 fades of as many lengths", len(r.Code))
	}
}

func BenchmarkEncode(b *testing.B) {
	for _, times := range []int{1, 10, 40} {
		b.Run(fmt.Sprintf("wipe64x%d", times), func(b *testing.B) {
			events, ticks := wipe(64, times)
			for b.Loop() {
				encode(slices.Clone(events), ticks, true)
			}
		})
	}
	for _, n := range []int{500, 2000, 8000} {
		b.Run(fmt.Sprintf("scatter/%d", n), func(b *testing.B) {
			var events []event
			x := uint32(1)
			for i := range n {
				x = x*1664525 + 1013904223
				events = append(events, event{tick: i * 2, slot: uint8(x >> 26), level: uint8(x>>18) & 1 * 255, ticks: uint8(x>>10) & 3 * 20})
			}
			for b.Loop() {
				encode(slices.Clone(events), 2*n, true)
			}
		})
	}
}
