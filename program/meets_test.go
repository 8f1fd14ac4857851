package program_test

import (
	"maps"
	"slices"
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

// Random programs, safe blocks and samples meet every rule often enough for a hundred of them to test it.
func TestRandomMeetsAll(t *testing.T) {
	const hundreds, wanted = 3, 4 // modules in each hundred
	met := map[string]int{}
	for _, what := range []string{
		"over", "low", "warm", "hot", "live mode", "memory being written", "pace held", "turn on a stop-and-turn wire", "brake", "turn under the brake",
		"broken reference", "not yet told apart", "a signal barred", "a show barred", "a show to be asked for anew", "turn-fed arrive", "paced by a stop-and-turn wire",
		"may sleep", "live", "show plays", "first hand", "other hand", "wrong strap", "no strap", "halved", "turn waits",
	} {
		met[what] = 0
	}
	type drawn struct {
		p    *program.Program
		s    *program.Safe
		v    *vector.Vector
		runs []vector.Run
	}
	modules := rapid.Custom(func(t *rapid.T) drawn {
		p := programtest.Random(t)
		s := programtest.RandomSafe(t, p)
		return drawn{p, s, programtest.RandomModule(t, p, s), programtest.RandomSamples(t, p, s, 8000)}
	})
	for seed := range 100 * hundreds {
		d := modules.Example(seed) // the same each time
		e := program.NewEngine(d.v.Powering())
		here := map[string]bool{}
		for _, r := range d.runs {
			r.Begin(e)
			for range r.Refreshes {
				e.Step(r.In, r.Link)
				if e.Phase() == 0 {
					for what, is := range e.Met() {
						here[what] = here[what] || is
					}
					if live := e.Shown().Live; live && !d.p.Walk {
						hand := d.p
						if d.p.SideByStrap && d.v.Strap != d.p.Side {
							hand = d.p.Other
						}
						phases := e.Phases()
						for i := range hand.Layers {
							here["show plays"] = here["show plays"] || hand.Layers[i].Show && phases[i] == program.Stay && hand.Layers[i].Stay != nil
						}
					}
					here["may sleep"] = here["may sleep"] || e.MaySleep()
					here["halved"] = here["halved"] || e.Halved()
					here["turn waits"] = here["turn waits"] || !e.Shown().Live && d.s.TurnWaits && e.Inputs()&(d.s.TurnA|d.s.TurnB) != 0
				}
			}
		}
		live := e.Shown().Live
		here["live"] = live
		here["first hand"] = d.p.SideByStrap && live && d.v.Strap == d.p.Side
		here["other hand"] = d.p.SideByStrap && live && d.v.Strap != d.p.Side
		here["wrong strap"] = d.p.SideByStrap && !live && d.v.Strap != program.Centre
		here["no strap"] = d.p.SideByStrap && !live && d.v.Strap == program.Centre
		for what, is := range here {
			if is {
				met[what]++
			}
		}
	}
	for _, what := range slices.Sorted(maps.Keys(met)) {
		t.Logf("%3d of %d modules met: %s", met[what], 100*hundreds, what)
		if met[what] < wanted*hundreds {
			t.Errorf("only %d of %d modules met: %s", met[what], 100*hundreds, what)
		}
	}
}
