package measure

import (
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"

	"pgregory.net/rapid"
)

// The fades of a routine, unrolled, are what the player plays: where a slot has come to rest the player shows that level.
func TestRestsAreWhatThePlayerShows(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		for _, l := range programtest.Random(t).Layers {
			for _, r := range []*program.Routine{l.Arrive, l.Stay, l.Leave} {
				if r == nil || l.Still != nil {
					continue
				}
				list, err := rests(r, len(l.Slots))
				if err != nil {
					t.Fatal(err)
				}
				levels := program.PlayRoutine(r, len(l.Slots))
				for _, one := range list {
					if one.from+1 >= len(levels) {
						continue // its fade outlasts the routine
					}
					for _, tick := range []int{one.from, one.from + 1} {
						if got := levels[tick][one.slot]; got != one.level {
							t.Fatalf("slot %d rests at %d from tick %d on, the player shows %d in tick %d", one.slot, one.level, one.from, got, tick)
						}
					}
					seen++
				}
			}
		}
	})
	if seen == 0 {
		t.Error("no rest was compared")
	}
}

func TestUnrollRefusesWhatIsNoRoutine(t *testing.T) {
	for _, r := range []program.Routine{
		{Code: []byte{}},
		{Code: []byte{0x41}},
		{Code: []byte{0xC4}},
		{Code: []byte{0xD0}},
		{Ticks: 2, Code: []byte{0x41, 0xC0}},
	} {
		if _, err := unroll(&r); err == nil {
			t.Errorf("%x is unrolled", r.Code)
		}
	}
}
