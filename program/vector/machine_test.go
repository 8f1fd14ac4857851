package vector_test

import (
	"fmt"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// machineFixtures show the signal machine: windows, keep, interruption, limits, priority.
func machineFixtures(t *testing.T) []fixture {
	all := []fixture{
		{
			name: "keep-over-stop", safe: evenSafe(),
			notes: "a signal above stop keeps its outputs dark for 30 frames after its end; stop comes back then, its override too.",
			p: &program.Program{Registers: 2, Layers: []program.Layer{
				{Name: "turn on the stop lamp", Pace: -1, InputMask: turn, Slots: slots(block), Still: levels(6, 200), Keep: 30},
				stopLayer(),
			}},
			runs: []vector.Run{frames(20, 0), frames(20, stop), frames(20, stop|turn), frames(60, stop)},
			want: []want{
				{frame(20), frame(40) - 1, block, 255, true}, {frame(40), frame(60) - 1, block, 200, false},
				{frame(60), frame(90) - 1, block, 0, false}, {frame(90), frame(100), block, 255, true},
			},
		},
		{
			name: "show-limit", safe: evenSafe(),
			notes: "a show with a limit of 2 units of 64 frames ends in job 128, and begins again only after its input was off.",
			p:     showProgram(t, program.Layer{Limit: 2}),
			runs:  []vector.Run{frames(30, 0), frames(120, show), frames(10, 0), frames(110, show)},
			want: []want{
				{frame(30), frame(128) - 1, edge, 70, false}, {frame(128), frame(160) - 1, edge, 0, false},
				{frame(160), frame(256) - 1, edge, 70, false}, {frame(256), frame(260), edge, 0, false},
			},
		},
		{
			name: "leave", safe: evenSafe(),
			notes: "a show with arrive, stay, leave and keep; it is asked for again during leave, and during keep.",
			p: showProgram(t, program.Layer{Keep: 12,
				Arrive: routine(t, "slots 0 x 10 to 30", "wait 10", "end"),
				Leave:  routine(t, "slots 0 x 10 to 40", "wait 10", "end")}),
			runs: []vector.Run{frames(10, 0), frames(20, show), frames(5, 0), frames(20, show), frames(15, 0), frames(20, show), frames(40, 0)},
			want: []want{
				{frame(10), frame(21) - 1, edge, 30, false}, {frame(21), frame(30) - 1, edge, 70, false},
				{frame(30), frame(35) - 1, edge, 40, false}, {frame(35), frame(46) - 1, edge, 30, false}, {frame(46), frame(55) - 1, edge, 70, false},
				// Leave ends in job 65, the keep begins in job 66; the next press falls into it in job 70.
				{frame(55), frame(66) - 1, edge, 40, false}, {frame(66), frame(70) - 1, edge, 0, false}, {frame(70), frame(81) - 1, edge, 30, false},
				{frame(90), frame(101) - 1, edge, 40, false}, {frame(101), frame(110), edge, 0, false},
			},
		},
		{
			name: "priority", safe: evenSafe(),
			notes: "two shows and a signal over one another: each output goes to the highest that is live.",
			p: &program.Program{Registers: 2, Layers: []program.Layer{
				{Name: "turn", Pace: -1, InputMask: turn, Slots: slots(span(4, 7)), Still: levels(4, 200)},
				{Name: "one", Show: true, Pace: -1, InputMask: show, Slots: slots(span(3, 5)), Still: levels(3, 120)},
				{Name: "two", Show: true, Pace: -1, InputMask: show2 | show, Slots: slots(span(0, 15)), Stay: routine(t, "slots 0 x 16 to 60", "wait 5", "again")},
			}},
			runs: []vector.Run{frames(10, show2), frames(10, show2|show), frames(10, show|turn), frames(10, turn), frames(6, 0)},
			want: []want{
				{frame(1), frame(10) - 1, span(0, 15), 60, false},
				{frame(10), frame(20) - 1, span(3, 5), 120, false}, {frame(10), frame(20) - 1, span(6, 15), 60, false},
				{frame(20), frame(30) - 1, span(4, 7), 200, false}, {frame(20), frame(30) - 1, span(3, 3), 120, false}, {frame(20), frame(30) - 1, span(8, 15), 60, false},
				{frame(30), frame(40) - 1, span(0, 3), 0, false}, {frame(30), frame(40) - 1, span(4, 7), 200, false}, {frame(40), frame(43), span(0, 15), 0, false},
			},
		},
	}
	for _, d := range []int{19, 20, 21} {
		all = append(all, windowFixture(t, d))
	}
	for _, ends := range []bool{true, false} {
		all = append(all, interruptedFixture(t, ends))
	}
	return all
}

// showProgram is a show over arrow and edge with stay level 70, to be varied, under a turn signal over the arrow.
func showProgram(t *testing.T, l program.Layer) *program.Program {
	l.Name, l.Show, l.Pace, l.InputMask = "show", true, -1, show
	l.Slots = slots(append(span(0, 5), edge...))
	l.Stay = routine(t, "slots 0 x 10 to 70", "wait 9", "again")
	return &program.Program{Registers: 2, Layers: []program.Layer{
		{Name: "turn", Pace: -1, InputMask: turn, Slots: slots(arrow), Still: levels(6, 255)},
		stopLayer(), l,
	}}
}

// windowFixture returns d frames after a release, with a repeat window of 20 frames.
func windowFixture(t *testing.T, d int) fixture {
	back := want{frame(60 + d), frame(71+d) - 1, arrow, 100, false}
	if d < 20 {
		back.level = 255
	}
	return fixture{
		name: fmt.Sprintf("window-%d-of-20", d), safe: evenSafe(),
		notes: "the input comes back so many frames after its release, with a repeat window of 20 frames: arrive plays from the 20th on.",
		p: &program.Program{Registers: 2, Layers: []program.Layer{{
			Name: "turn", Pace: -1, InputMask: turn, Slots: slots(arrow), Window: 20,
			Arrive: routine(t, "slots 0 x 6 to 100", "wait 10", "end"),
			Stay:   routine(t, "slots 0 x 6 to 255", "end"),
		}}},
		runs: []vector.Run{frames(30, 0), frames(30, turn), frames(d, 0), frames(20, turn)},
		want: []want{
			{frame(30), frame(41) - 1, arrow, 100, false}, {frame(41), frame(60) - 1, arrow, 255, false},
			{frame(60), frame(60+d) - 1, arrow, 0, false}, back, {frame(71 + d), frame(76 + d), arrow, 255, false},
		},
	}
}

// interruptedFixture has a signal take a part of a show that ends then, or goes on beneath.
func interruptedFixture(t *testing.T, ends bool) fixture {
	f := fixture{
		name: "show-goes-on", safe: evenSafe(),
		notes: "a signal takes a part of a show, which goes on beneath it and is seen again.",
		p:     showProgram(t, program.Layer{Ends: ends, Window: 500}),
		runs:  []vector.Run{frames(20, 0), frames(40, show), frames(40, show|turn), frames(20, show), frames(20, 0), frames(10, show)},
	}
	under := uint8(70)
	if ends {
		f.name = "show-ends"
		f.notes = "a signal takes a part of a show, which ends, and begins again only after its input was off."
		under = 0
	}
	f.want = []want{
		{frame(20), frame(60) - 1, edge, 70, false}, {frame(20), frame(60) - 1, arrow, 70, false},
		{frame(60), frame(100) - 1, arrow, 255, false}, {frame(60), frame(120) - 1, edge, under, false},
		{frame(100), frame(120) - 1, arrow, under, false}, {frame(120), frame(140) - 1, edge, 0, false},
		{frame(140), frame(147), edge, 70, false},
	}
	return f
}
