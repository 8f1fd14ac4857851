package vector_test

import (
	"slices"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// streamed is a run at whose beginning a live frame arrives.
func streamed(levels []uint8, r vector.Run) vector.Run {
	r.Live = levels
	return r
}

// ramp is a live frame in which output o has level from + o.
func ramp(from uint8) (l []uint8) {
	for o := range 16 {
		l = append(l, from+uint8(o))
	}
	return l
}

// liveFixtures show streamed frames of levels under the signals.
func liveFixtures(t *testing.T) []fixture {
	open := showProgram(t, program.Layer{Keep: 9, Leave: routine(t, "slots 0 x 10 to 40", "wait 10", "end")})
	open.Layers[0].Keep = 5 // of the turn: dark over what is streamed
	open.Live = true
	closed := showProgram(t, program.Layer{})
	rampAt := func(from, to int, outs []int, first uint8) (all []want) {
		for _, o := range outs {
			all = append(all, want{from, to, []int{o}, first + uint8(o), false})
		}
		return all
	}
	return []fixture{
		{
			name: "live", p: open, safe: evenSafe(),
			notes: "a frame in frame 20, renewed in frame 60: it lasts for 63 jobs after the last. Signals lie over it, a keep is dark over it, the show is cut and must be asked for anew.",
			runs: []vector.Run{frames(10, 0), frames(10, show), streamed(ramp(100), frames(10, show)), frames(10, show|turn), frames(10, show), frames(10, show|stop),
				streamed(ramp(30), frames(10, 0)), frames(80, show), frames(4, 0), frames(6, show)}, // 60, 70, 150, 154
			want: slices.Concat(
				[]want{{frame(10), frame(20) - 1, edge, 70, false}},
				rampAt(frame(20), frame(30)-1, arrow, 100), rampAt(frame(20), 8*50+7, block, 100), rampAt(frame(20), frame(60)-1, edge, 100),
				[]want{{frame(30), frame(40) - 1, arrow, 255, false}, {frame(40), frame(45) - 1, arrow, 0, false}},
				rampAt(frame(45), frame(60)-1, arrow, 100),
				[]want{{frame(50), 8*60 + 7, block, 255, true}},
				rampAt(frame(60), frame(123)-1, span(0, 15), 30),
				[]want{{frame(123), frame(154) - 1, span(0, 15), 0, false}, {frame(154), frame(157), edge, 70, false}},
			),
		},
		{
			name: "live-two-at-once", p: open, safe: evenSafe(),
			notes: "two frames within the refreshes of one frame: the second counts. One more in the last refresh before a snapshot still belongs to it.",
			runs: []vector.Run{frames(10, 0), streamed(ramp(100), vector.Run{Refreshes: 3, Link: true}), streamed(ramp(60), vector.Run{Refreshes: 5, Link: true}),
				vector.Run{Refreshes: 7, Link: true}, streamed(ramp(20), vector.Run{Refreshes: 1, Link: true}), frames(70, 0)},
			want: slices.Concat(rampAt(frame(10), frame(11)-1, span(0, 15), 60), rampAt(frame(11), frame(74)-1, span(0, 15), 20), []want{{frame(74), frame(79), span(0, 15), 0, false}}),
		},
		{
			name: "live-closed", p: closed, safe: evenSafe(),
			notes: "an image that does not allow live mode: frames do nothing, and the show goes on.",
			runs:  []vector.Run{frames(10, show), streamed(ramp(100), frames(10, show)), streamed(ramp(20), frames(10, show))},
			want:  []want{{frame(1), frame(27), edge, 70, false}, {frame(1), frame(27), block, 0, false}},
		},
		{
			name: "live-too-early", p: open, safe: evenSafe(),
			notes: "a frame before the image runs is lost; one in the frame whose snapshot its first job takes counts.",
			runs:  []vector.Run{streamed(ramp(100), frames(1, 0)), streamed(ramp(20), frames(1, 0)), frames(70, 0)},
			want:  slices.Concat([]want{{0, frame(1) - 1, span(0, 15), 0, false}}, rampAt(frame(1), frame(64)-1, span(0, 15), 20), []want{{frame(64), frame(69), span(0, 15), 0, false}}),
		},
		{
			name: "live-halved", p: open, safe: over(), halved: [][2]int{{frame(22), frame(32)}},
			notes: "what is streamed is halved like all light.",
			runs:  []vector.Run{frames(10, 0), streamed(ramp(150), frames(10, 0)), sensed(0xC0, cold, frames(10, 0)), sensed(steady, cold, frames(10, 0))},
			want:  rampAt(frame(10), frame(37), span(0, 15), 150),
		},
	}
}

// over halves all light from code c0 on.
func over() *program.Safe {
	s := evenSafe()
	s.Over = 0xC0
	return s
}
