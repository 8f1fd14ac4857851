package firmware

import (
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

// A module that is fed by its turn wire, through flashes of which each brings the supply: what it holds in EEPROM and RAM goes on
// from each to the next, unless the RAM does not live. The core keeps what the engine keeps.
func TestCoreKeepsWhatTheEngineKeeps(t *testing.T) {
	var flashes, stored, noted, held int
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		for i := 0; p.Walk || p.PacerInput[0] == 0; i++ {
			if i > 50 {
				t.Skip("no program with a pacer")
			}
			p = programtest.Random(t)
		}
		p.TurnFed, p.SideByStrap, p.Other = true, false, nil
		s := programtest.RandomSafe(t, p)
		s.Invert = 0
		s.StopTurn = [len(s.StopTurn)]program.StopTurn{}
		v := moduleFor(t, p, s)
		usual := rapid.IntRange(250, 1750).Draw(t, "usual on-time")
		for range rapid.IntRange(2, 8).Draw(t, "flashes") {
			on := usual + usual*rapid.IntRange(-16, 16).Draw(t, "off by percent")/100
			if rapid.IntRange(0, 5).Draw(t, "let go") == 0 {
				on = rapid.IntRange(100, usual).Draw(t, "let go at")
			}
			v.Runs = []vector.Run{{Refreshes: on, In: p.PacerInput[0], Link: true}, {Refreshes: 80, Link: true}}
			sameLight(t, v)
			_, _, kept, left := v.Play()
			flashes++
			if v.Memory != nil && kept != *v.Memory {
				stored++
			}
			switch left[0] ^ left[1] {
			case 0xFF:
				noted++
			case 0x5A:
				held++
			}
			v.Memory, v.Remnant = &kept, left
			if rapid.IntRange(0, 7).Draw(t, "the RAM does not live") == 0 {
				v.Remnant = programtest.RandomRemnant(t)
			}
		}
	})
	if stored*20 < flashes || noted*20 < flashes || held*20 < flashes {
		t.Errorf("of %d flashes %d were stored, %d noted, and %d after one that was stored: too few to tell", flashes, stored, noted, held)
	}
}
