package compile

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lampwright/program"
)

// overBytes is what the lengths among tokens take.
func overBytes(tokens []token) (bytes int) {
	for _, t := range tokens {
		if t.kind == overToken {
			bytes += int(t.bytes())
		}
	}
	return bytes
}

// leastOverBytes tries every order of the lengths in every moment that keeps the events of a slot in theirs, shorter ones first.
func leastOverBytes(moments []moment, over uint8) int {
	if len(moments) == 0 {
		return 0
	}
	best := 1 << 30
	var try func(rest []uint8, now uint8, bytes int)
	try = func(rest []uint8, now uint8, bytes int) {
		if len(rest) == 0 {
			best = min(best, bytes+leastOverBytes(moments[1:], now))
		}
		for i, length := range rest {
			early := slices.ContainsFunc(moments[0].events, func(e event) bool {
				return e.ticks == length && slices.ContainsFunc(moments[0].events, func(other event) bool {
					return other.slot == e.slot && other.ticks < length && slices.Contains(rest, other.ticks)
				})
			})
			if early {
				continue
			}
			more := 0
			if length != now {
				more = int(overTo(length).bytes())
			}
			try(slices.Delete(slices.Clone(rest), i, i+1), length, bytes+more)
		}
	}
	try(moments[0].overs, over, 0)
	return best
}

func TestLengthsAreSetWithTheFewestBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var events []event
		ticks := rapid.IntRange(1, 5).Draw(t, "ticks")
		for tick := range ticks {
			for range rapid.IntRange(1, 4).Draw(t, "events") {
				events = append(events, event{tick, uint8(rapid.IntRange(0, 3).Draw(t, "slot")), rapid.Uint8().Draw(t, "level"),
					rapid.SampledFrom([]uint8{0, 5, 20, 90}).Draw(t, "over")})
			}
		}
		sortEvents(events)
		events = slices.CompactFunc(events, func(a, b event) bool { return a.tick == b.tick && a.slot == b.slot && a.ticks == b.ticks })
		parted := moments(events)
		written := tokens(chained(parted), ticks)
		if got, want := overBytes(written), leastOverBytes(parted, 0); got != want {
			t.Fatalf("%d bytes for lengths, trial finds %d: %v", got, want, events)
		}
		var code program.Coder
		for _, tok := range written {
			tok.write(&code)
		}
		r, err := code.End()
		if err != nil {
			t.Fatal(err)
		}
		checkPlays(t, r, events, ticks, 4)
	})
}
