package firmware

import (
	"testing"

	"lampwright/program"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

// linkedModule gives a module with one linked show on in1 that moves in every tick.
func linkedModule(t *rapid.T, ticks int, role program.LinkRole) *vector.Vector {
	var c program.Coder
	for at := 0; at < ticks; at += 50 {
		c.Over(50)
		c.Span(0, 8, uint8(at*7))
		c.Wait(min(50, ticks-at))
	}
	stay, err := c.Again()
	if err != nil {
		t.Fatalf("%v", err)
	}
	p := &program.Program{Registers: 1, Link: role, Layers: []program.Layer{
		{Show: true, Linked: true, Pace: -1, InputMask: 1, Slots: []uint8{0, 1, 2, 3, 4, 5, 6, 7}, Stay: stay},
	}}
	s := program.LastResort()
	s.Registers, s.StopOut = 1, [8]uint8{0x80}
	return moduleFor(t, p, &s)
}

// TestFollowerIsTheSame lets a leader drive the link of a follower whose clock is off: the core must follow as the engine
// does, through starts, seconds and jumps.
func TestFollowerIsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ticks := rapid.IntRange(250, 1200).Draw(t, "ticks")
		offset := rapid.IntRange(-7000, 7000).Draw(t, "clock is off, millionths")
		leader := linkedModule(t, ticks, program.Leader)
		follower := linkedModule(t, ticks, program.Follower)
		lead := program.NewEngine(leader.Powering())
		from := rapid.IntRange(20, 4000).Draw(t, "show from")
		late := rapid.IntRange(-20, 600).Draw(t, "follower's input comes later")
		run := vector.Run{Link: true}
		done := 0
		for r := range 30_000 {
			for ; done < r+r*offset/1_000_000; done++ {
				lead.Step(uint8(digit(done >= from)), true)
			}
			now := vector.Run{Refreshes: 1, In: uint8(digit(r >= from+late)), Link: !lead.Shown().Pull}
			if now.In == run.In && now.Link == run.Link {
				run.Refreshes++
				continue
			}
			if run.Refreshes > 0 {
				follower.Runs = append(follower.Runs, run)
			}
			run = now
		}
		follower.Runs = append(follower.Runs, run)
		sameLight(t, follower)
	})
}
