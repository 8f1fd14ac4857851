package vector_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// sensed is a run before which the codes at the pins change. What stands before frame f is converted in that frame, so that
// job f + 1, or f + 2 when the code is the other pin's turn, is the first to know it.
func sensed(supply, heat uint8, r vector.Run) vector.Run {
	r.Codes = &program.Codes{Supply: supply, Heat: heat}
	return r
}

// The codes at rest.
const (
	steady = 0x79 // 13.5 V
	cold   = 0xFF
)

// senseFixtures show what supply and heat do to light and shows.
func senseFixtures(t *testing.T) []fixture {
	over := evenSafe()
	over.Over = 0xC0
	always := evenSafe()
	always.Over = 3
	guarded := showProgram(t, program.Layer{Keep: 5, Window: 300, Leave: routine(t, "slots 0 x 10 to 40", "wait 10", "end")})
	guarded.Layers = append(guarded.Layers[:2:2], program.Layer{Name: "tail", Pace: -1, InputMask: tail, Slots: []uint8{15}, Still: levels(1, tailLevel)}, guarded.Layers[2])
	guarded.Low, guarded.Warm, guarded.Hot = 0x55, 0x60, 0x40
	lit := span(12, 14) // of the show; the tail has output 15
	big := longImage(t, 700, func(p *program.Program) {
		p.Low = 0x55
		p.Layers[3].InputMask = show
	})
	both := func(n int, in uint8) vector.Run { return frames(n, in|tail) }
	return []fixture{
		{
			name: "supply-over", p: guarded, safe: over,
			notes: "from code c0 on all light is halved, and the stop with it, which then comes with the frame; it ends below bc. The show is cut and must be asked for anew.",
			runs: []vector.Run{both(10, 0), both(10, show), both(20, show|stop), sensed(0xBF, cold, both(20, show|stop)), sensed(0xC0, cold, both(20, show|stop)),
				sensed(0xBC, cold, both(10, show|stop)), both(10, show), both(10, show|stop), sensed(0xBB, cold, both(10, show|stop)), both(10, 0), both(10, show)},
			want: []want{
				{frame(10), frame(62) - 1, lit, 70, false}, {frame(62), frame(130) - 1, lit, 0, false}, {frame(130), frame(137), lit, 70, false},
				{frame(1), frame(137), []int{15}, tailLevel, false},
				{8*20 + 8, frame(20) - 1, block, 0, true}, {frame(20), frame(62) - 1, block, 255, true},
				{frame(62), frame(90) - 1, block, 255, false}, {frame(90), frame(100) - 1, block, 0, false},
				// No stop override: the stop that comes in frame 100 is first lit by job 100.
				{frame(100), frame(112) - 1, block, 255, false}, {frame(112), 8*120 + 7, block, 255, true},
			},
			halved: [][2]int{{frame(62), frame(112)}},
		},
		{
			name: "supply-over-safe", safe: over, refusal: "0 bytes",
			notes: "24 V from the start, no image: the safe program at half light. Its stop override serves until the first frame is shown.",
			runs:  []vector.Run{sensed(0xD8, cold, both(20, stop)), sensed(steady, cold, both(10, stop))},
			want: []want{{8, 15, block, 0, true}, {16, frame(22) - 1, block, 255, false}, {frame(22), frame(27), block, 255, true},
				{16, frame(27), edge, 80, false}},
			halved: [][2]int{{16, frame(22)}},
		},
		{
			name: "supply-over-always", safe: always, refusal: "0 bytes",
			notes:  "a limit of 3 is cut below, not wrapped: once reached it never ends.",
			runs:   []vector.Run{sensed(2, cold, frames(4, tail)), sensed(3, cold, frames(4, tail)), sensed(0, cold, frames(6, tail))},
			want:   []want{{frame(0), frame(11), edge, 80, false}},
			halved: [][2]int{{frame(6), 8 * 14}},
		},
		{
			name: "supply-low", p: guarded, safe: evenSafe(),
			notes: "below code 55 the show is cut without its leave routine, and begins again only when it was let go and asked for anew after code 59 was reached. Signals do not mind.",
			runs: []vector.Run{both(10, 0), both(20, show), sensed(0x54, cold, both(20, show|turn)), sensed(0x58, cold, both(20, show|stop)), sensed(0x59, cold, both(20, show)),
				both(4, 0), both(20, show), sensed(0x54, cold, both(6, 0)), both(6, show), sensed(steady, cold, both(10, show))},
			want: []want{
				{frame(10), frame(32) - 1, lit, 70, false}, {frame(32), frame(94) - 1, lit, 0, false}, {frame(94), frame(114) - 1, lit, 70, false},
				// Let go in job 114: leave for two frames, until the low supply is known in job 116. Asked for while it is low: not until it is asked for anew.
				{frame(114), frame(116) - 1, lit, 40, false}, {frame(116), frame(133), lit, 0, false},
				{frame(30), frame(50) - 1, arrow, 255, false}, {frame(50), 8*70 + 7, block, 255, true}, {frame(1), frame(133), []int{15}, tailLevel, false},
			},
		},
		{
			name: "heat", p: guarded, safe: evenSafe(),
			notes: "at code 60 the show is cut, at 40 all light is halved, but not the stop of the override; 47 ends the one, 67 the other.",
			runs: []vector.Run{both(10, 0), both(10, show|stop), sensed(steady, 0x60, both(20, show|stop)), sensed(steady, 0x40, both(20, show|stop)), sensed(steady, 0x46, both(20, show)),
				sensed(steady, 0x47, both(20, show)), sensed(steady, 0x66, both(10, 0)), both(10, show), both(5, 0), sensed(steady, 0x67, both(5, 0)), both(12, show)},
			want: []want{
				{frame(10), frame(21) - 1, lit, 70, false}, {frame(21), frame(130) - 1, lit, 0, false}, {frame(130), frame(139), lit, 70, false},
				{frame(10), frame(60) - 1 - 8, block, 255, true}, {frame(1), frame(139), []int{15}, tailLevel, false},
			},
			halved: [][2]int{{frame(41), frame(81)}},
		},
		{
			name: "heat-shorted", p: guarded, safe: evenSafe(),
			notes: "a code of 3 and less is a shorted sensor: warm, so that no show runs, but not hot. A code of 4 is hot again.",
			runs: []vector.Run{both(10, show), sensed(steady, 3, both(10, show)), sensed(steady, 4, both(10, show)), sensed(steady, 0, both(10, show)), sensed(steady, 0x40, both(10, show)),
				sensed(steady, 3, both(10, show)), sensed(steady, cold, both(6, show)), both(4, 0), both(8, show)},
			want: []want{{frame(1), frame(11) - 1, lit, 70, false}, {frame(11), frame(70) - 1, lit, 0, false}, {frame(70), frame(75), lit, 70, false},
				{frame(1), frame(75), []int{15}, tailLevel, false}},
			halved: [][2]int{{frame(21), frame(31)}, {frame(41), frame(51)}},
		},
		{
			name: "supply-low-at-start", image: big, safe: evenSafe(),
			notes: "a low supply before the image runs is not known: the show that is held is seen in job 3, the first of the image, and cut by job 4.",
			runs:  []vector.Run{sensed(0x10, cold, frames(12, show))},
			want:  []want{{0, frame(3) - 1, span(0, 0), 0, false}, {frame(3), frame(4) - 1, span(0, 0), 99, false}, {frame(4), frame(9), span(0, 0), 0, false}},
		},
		{
			name: "codes-at-the-ends", p: edgeLimits(t), safe: evenSafe(),
			notes: "limits at the ends of the range are cut, not wrapped: low from below fe ends at ff, warm from fa down never ends.",
			runs: []vector.Run{sensed(0xFF, cold, frames(10, show)), sensed(0xFD, cold, frames(10, show)), sensed(0xFE, cold, frames(4, 0)), frames(6, show), sensed(0xFF, cold, frames(4, 0)), frames(6, show),
				sensed(0xFF, 0xFA, frames(10, show)), sensed(0xFF, cold, frames(4, 0)), frames(6, show)},
			want: []want{{frame(1), frame(12) - 1, span(0, 15), 70, false}, {frame(12), frame(34) - 1, span(0, 15), 0, false}, {frame(34), frame(41) - 1, span(0, 15), 70, false}, {frame(41), frame(57), span(0, 15), 0, false}},
		},
	}
}

// edgeLimits is a still show whose limits lie at the ends of the codes.
func edgeLimits(t *testing.T) *program.Program {
	t.Helper()
	return &program.Program{Registers: 2, Low: 0xFE, Warm: 0xFA, Layers: []program.Layer{
		{Name: "show", Show: true, Pace: -1, InputMask: show, Slots: slots(span(0, 15)), Still: levels(16, 70)},
	}}
}
