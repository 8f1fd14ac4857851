package program_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"

	"pgregory.net/rapid"
)

// What a layer is said to stand in is what is shown a frame later, and the reasons that are given fit it.
func TestStandings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, s, e := module(t)
		var before []program.Standing
		for _, r := range programtest.RandomSamples(t, p, s, 4000) {
			r.Begin(e)
			for range r.Refreshes {
				e.Step(r.In, r.Link)
				if e.Phase() != 0 {
					continue
				}
				shown := e.Phases()
				for i, was := range before {
					if shown[i] != was.Phase {
						t.Fatalf("layer %d stood in %v, and %v is shown", i, was.Phase, shown[i])
					}
				}
				before = e.Standings()
				bars := e.Bars()
				for i, now := range before {
					l := &p.Layers[i]
					runs := now.Phase == program.Arrive || now.Phase == program.Stay
					barred := now.Barred || l.Show && bars != (program.Bars{})
					if asked := e.Asked()&l.InputMask != 0; asked != now.Asked {
						t.Fatalf("layer %d: asked %v, its inputs are %b of %b", i, now.Asked, l.InputMask, e.Asked())
					}
					if runs && (!now.Asked || now.Spent || barred) {
						t.Fatalf("layer %d runs: %+v, %+v", i, now, bars)
					}
					if !runs && now.Asked && !now.Spent && !barred {
						t.Fatalf("layer %d does not run, and nothing says why: %+v, %+v", i, now, bars)
					}
					if now.Phase == program.Keep && now.Keep == 0 {
						t.Fatalf("layer %d keeps for no time", i)
					}
				}
			}
		}
	})
}
