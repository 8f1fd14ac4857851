package vector_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// linkFixtures are a leader and followers. The show lasts 375 ticks and tells its tick by its level.
func linkFixtures(t *testing.T) []fixture {
	safe := evenSafe()
	safe.Registers = 1
	safe.StopOut, safe.TailOut, safe.TurnAOut = [8]uint8{0xC0}, [8]uint8{}, [8]uint8{}
	module := func(role program.LinkRole) *program.Program {
		return &program.Program{Registers: 1, Link: role, Layers: []program.Layer{
			{Name: "stop", Fast: true, Pace: -1, InputMask: stop, Slots: []uint8{6, 7}, Still: levels(2, 255)},
			{Name: "tide", Show: true, Linked: true, Pace: -1, InputMask: show, Slots: []uint8{0, 1}, Stay: routine(t,
				"slots 0 x 2 to 10", "wait 3", "slot 0 to 20", "wait 3", "slot 0 to 30", "wait 1", "slot 0 to 40", "wait 118",
				"slot 1 to 60", "wait 125", "slot 1 to 80", "wait 125", "again")},
		}}
	}
	const glint = 0x20
	undone := module(program.Follower)
	undone.Layers = append(undone.Layers, program.Layer{Name: "glint", Show: true, Linked: true, Pace: -1, InputMask: glint, Slots: []uint8{2},
		Arrive: routine(t, "slot 0 to 90", "wait 1", "end"), Stay: routine(t, "slot 0 to 90", "wait 250", "again")})
	low := func(n int, in uint8) vector.Run { return vector.Run{Refreshes: n, In: in} }
	high := func(n int, in uint8) vector.Run { return vector.Run{Refreshes: n, In: in, Link: true} }
	return []fixture{
		{
			name: "link-leader", p: module(program.Leader), safe: safe,
			notes: "the leader pulls the wire for 4 frames when its show's loop starts, in jobs 10, 385 and 760, and for 2 frames at its second, in jobs 260 and 635; stop does not disturb it.",
			runs:  []vector.Run{frames(10, 0), frames(200, show), frames(400, show|stop), frames(152, show), frames(10, 0)},
			want:  []want{{frame(10), frame(13) - 1, span(0, 0), 10, false}},
			pulls: [][2]int{{frame(10), frame(14)}, {frame(260), frame(262)}, {frame(385), frame(389)}, {frame(635), frame(637)}, {frame(760), frame(764)}},
		},
		{
			name: "link-follower-lags", p: module(program.Follower), safe: safe,
			notes: "the follower begins its show 40 frames after the leader; the leader's start of a loop, longer away than 50 ms, restarts it: six frames after the wire fell it shows tick 6.",
			runs:  []vector.Run{high(80, 0), high(8*335, show), low(32, show), high(8*250-32, show), low(16, show), high(500, show)},
			want: []want{
				{frame(10), frame(13) - 1, span(0, 0), 10, false}, {frame(13), frame(16) - 1, span(0, 0), 20, false}, {frame(16), frame(17) - 1, span(0, 0), 30, false},
				{frame(17), 2760 + 47, span(0, 0), 40, false}, {2760 + 48, 2760 + 55, span(0, 0), 30, false}, {2760 + 56, 2760 + 500, span(0, 0), 40, false},
			},
		},
		{
			name: "link-follower-drifts", p: module(program.Follower), safe: safe,
			notes: "the leader's clock is 1 % slow: its marks come late, and the follower learns to go slower.",
			runs:  driftRuns(),
			// The leader's loops begin at refreshes 104, 3134, 6164; within 5 ms the follower's do too.
			want: []want{{frame(10), frame(13) - 1, span(0, 0), 10, false}, {3134 + 10, 3134 + 14, span(0, 0), 10, false}, {6164 + 10, 6164 + 14, span(0, 0), 10, false}},
		},
		{
			name: "link-follower-slides", p: module(program.Follower), safe: safe,
			notes: "the leader's seconds are 200 ms off: the show slides by 50 ms a second at most, and learns nothing of the clocks on the way. Then the leader is 0.4 % slow, which is learnt.",
			runs:  slideRuns(),
			want:  []want{{frame(10), frame(13) - 1, span(0, 0), 10, false}},
		},
		{
			name: "link-start-undone", p: undone, safe: safe,
			notes: "a second at tick 51 makes the show go 400/4096 slower for 128 frames from job 62 on. In job 100 the arrive routine of another linked show has ended, and its input has gone off: its stay starts nothing, so the correction stays, and tick 125 comes in job 144 (in 139 without it).",
			runs:  []vector.Run{frames(10, 0), frames(50, show), low(16, show), frames(36, show), frames(2, show|glint), frames(60, show)},
			want: []want{{frame(98), frame(100) - 1, span(2, 2), 90, false}, {frame(100), frame(150), span(2, 2), 0, false},
				{frame(139), frame(144) - 1, span(1, 1), 10, false}, {frame(144), frame(155), span(1, 1), 60, false}},
		},
		{
			name: "link-noise", p: module(program.Follower), safe: safe,
			notes: "spikes of one sample, a wire held low for long and then released, and marks while no show runs change nothing: the show runs freely.",
			runs: []vector.Run{high(40, 0), low(16, 0), high(24, 0), high(400, show), low(1, show), high(99, show), low(65, show), high(435, show),
				low(300, show), high(8*375+80-80-40-300-400-700, show), high(800, show)},
			want: []want{{frame(10), frame(13) - 1, span(0, 0), 10, false}, {frame(17), frame(385) - 1, span(0, 0), 40, false}, {frame(385), frame(388) - 1, span(0, 0), 10, false}},
		},
		{
			name: "link-stuck-low", p: module(program.Follower), safe: safe,
			notes: "the wire is short to ground all the time: the show runs freely, and stop works.",
			runs:  []vector.Run{low(80, 0), low(8*200, show), low(80, show|stop), low(8*180, show)},
			want: []want{{frame(17), frame(385) - 1, span(0, 0), 40, false}, {frame(385), frame(388) - 1, span(0, 0), 10, false},
				{8*210 + 8, frame(210) - 1, span(6, 7), 0, true}, {frame(210), 8*220 + 7, span(6, 7), 255, true}},
		},
	}
}

// slideRuns presses the show and sends seconds alone: seven that are 400 refreshes late, then five 2008 refreshes apart.
func slideRuns() []vector.Run {
	runs := []vector.Run{{Refreshes: 80, Link: true}, {Refreshes: 400 + 16, In: show, Link: true}}
	for i := range 12 {
		apart := 2000
		if i >= 7 {
			apart = 2008
		}
		runs = append(runs, vector.Run{Refreshes: 16, In: show}, vector.Run{Refreshes: apart - 16, In: show, Link: true})
	}
	return runs
}

// driftRuns presses the show and sends the marks of a leader that is 1 % slow: starts every 3030 refreshes, seconds 2020
// after them.
func driftRuns() []vector.Run {
	runs := []vector.Run{{Refreshes: 80, Link: true}, {Refreshes: 24, In: show, Link: true}}
	for range 4 {
		runs = append(runs, vector.Run{Refreshes: 32, In: show}, vector.Run{Refreshes: 2020 - 32, In: show, Link: true},
			vector.Run{Refreshes: 16, In: show}, vector.Run{Refreshes: 1010 - 16, In: show, Link: true})
	}
	return runs
}
