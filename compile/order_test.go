package compile

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Four slots far apart that light alike, among others that begin in the same tick, come to stand side by side.
func TestSlotsThatLightAlikeStandTogether(t *testing.T) {
	const slots = 20
	alike := []int{2, 7, 12, 17}
	var events []event
	for s := range slots {
		shape := s + 1 // of a slot's own
		if slices.Contains(alike, s) {
			shape = 0
		}
		for n := range 6 {
			events = append(events, event{tick: 10 * n, slot: uint8(s), level: uint8(100 + shape*(n+1)%100), ticks: 5})
		}
	}
	sortEvents(events)
	order := byLikeness(events, slots)
	at := slices.Index(order, alike[0])
	if got := order[at:min(at+4, slots)]; !slices.Equal(got, alike) {
		t.Errorf("slots %v stand after another, want %v: %v", got, alike, order)
	}
	stay := &part{timing: timing{ticks: 100, loops: true}, tracks: make([]*track, slots)}
	for s := range stay.tracks {
		stay.tracks[s] = &track{}
	}
	for _, e := range events {
		of := stay.tracks[e.slot]
		of.fades = append(of.fades, fade{Tick: e.tick, Level: e.level, Ticks: int(e.ticks)})
	}
	if tried := (parts{stay: stay}).orders(slots); !slices.ContainsFunc(tried, func(one []int) bool { return slices.Equal(one, order) }) {
		t.Errorf("that order is not tried, but %v", tried)
	}
	code := func(order []int) int {
		moved := slices.Clone(events)
		for i := range moved {
			moved[i].slot = uint8(slices.Index(order, int(moved[i].slot)))
		}
		r, err := encode(moved, 100, true)
		if err != nil {
			t.Fatal(err)
		}
		return len(r.Code)
	}
	// A span takes the place of four fades in each of six ticks: four bytes instead of eight.
	if plain, dense := code(byTime(events, slots)), code(order); dense > plain-6*4 {
		t.Errorf("%d bytes, %d in order of time", dense, plain)
	}
}

func TestEveryOrderHoldsEverySlotOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slots := rapid.IntRange(0, 64).Draw(t, "slots")
		var events []event
		if slots > 0 {
			events, _ = drawEvents(t, slots)
		}
		sortEvents(events)
		for name, order := range map[string][]int{"time": byTime(events, slots), "likeness": byLikeness(events, slots)} {
			sorted := slices.Sorted(slices.Values(order))
			for i, s := range sorted {
				if i != s {
					t.Fatalf("by %s: %v", name, order)
				}
			}
			if len(order) != slots {
				t.Fatalf("by %s: %d of %d slots", name, len(order), slots)
			}
		}
	})
}
