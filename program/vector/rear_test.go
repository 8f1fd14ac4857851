package vector_test

import (
	"slices"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// rearFixtures are the road functions of the small rear lamp. Its image is shorter than 256 bytes: live from job 1.
func rearFixtures(t *testing.T) []fixture {
	return []fixture{
		{
			name: "rear-functions", p: rear(t), safe: evenSafe(),
			notes: "tail, stop over tail, then two flashes of 360 ms; the first sweep takes the default time.",
			runs: []vector.Run{frames(10, 0), frames(10, tail), frames(20, tail|stop), frames(20, tail),
				frames(90, tail|turn), frames(90, tail), frames(90, tail|turn), frames(4, tail)},
			want: []want{
				{0, frame(10) - 1, edge, 0, false},
				{frame(10), frame(330), edge, tailLevel, false},
				// Stop acts in the refresh after the eighth high sample, its level two frames later.
				{0, 167, block, 0, false}, {168, 175, block, 0, true}, {176, 327, block, 255, true}, {328, 335, block, 255, false}, {336, 400, block, 0, false},
				// First flash: age 7, (260 − 7 − 10) / 8 = 30 frames for 40 ticks.
				{frame(60), frame(90) - 1, span(5, 5), 0, false}, {frame(90), frame(150) - 1, arrow, 255, false}, {frame(150), frame(240) - 1, arrow, 0, false},
				// Second flash: 720 refreshes are known, (720 − 7 − 10) / 8 = 87 frames.
				{frame(240), frame(327) - 1, span(5, 5), 0, false}, {frame(327), frame(330) - 1, arrow, 255, false}, {frame(330), frame(331), arrow, 0, false},
			},
		},
		{
			name: "power-up-held", p: rear(t), safe: evenSafe(),
			notes: "stop and turn are held while the power comes: lit as soon as eight samples are read, and no sweep.",
			runs:  []vector.Run{frames(60, stop|turn), frames(10, 0)},
			want: []want{
				{0, 7, block, 0, false}, {8, 15, block, 0, true}, {16, 487, block, 255, true},
				{0, 15, arrow, 0, false}, {16, frame(60) - 1, arrow, 255, false}, {frame(60), frame(61), arrow, 0, false},
			},
		},
		{
			name: "pace", p: rear(t), safe: chopSafe(),
			notes: "a flasher of 90 a minute, half on: from the second flash on the sweep ends within 8 refreshes before the off edge.\nThen a lever let go half way (odd, not learnt), and a flasher of 120 a minute, learnt at the third agreement.",
			runs:  slices.Concat([]vector.Run{frames(10, 0)}, flashes(3, 667, 667), flashes(1, 300, 1000), flashes(2, 667, 667), flashes(5, 500, 500)),
			want:  paceWants(),
		},
		{
			name: "pace-short-flash", p: rear(t), safe: chopSafe(),
			notes: "seven flashes of 600 refreshes, one of 540: short by itself, it does not shorten the sweeps after it. A second one does.",
			runs:  slices.Concat([]vector.Run{frames(10, 0)}, flashes(7, 600, 600), flashes(1, 540, 660), flashes(2, 600, 600), flashes(1, 540, 660), flashes(1, 600, 600)),
			want:  slices.Concat(sweep(80+2*1200, 600, 600), sweep(80+8*1200, 600, 600), sweep(80+9*1200, 600, 600), sweep(80+11*1200, 600, 540)),
		},
		{
			name: "bounce", p: rear(t), safe: evenSafe(),
			notes: "gaps and spikes of seven refreshes, one less than the filters take, do nothing; eight do.",
			runs: []vector.Run{frames(10, 0), {Refreshes: 7, In: stop, Link: true}, {Refreshes: 9, Link: true}, {Refreshes: 8, In: stop, Link: true},
				{Refreshes: 7, Link: true}, {Refreshes: 50, In: stop, Link: true}, {Refreshes: 8, Link: true}, frames(6, 0)},
			// The ninth sample of the second pulse would be sample 104: eight have been read after sample 103.
			want: []want{{0, 103, block, 0, false}, {112, 168, block, 255, true}, {169, 176, block, 255, false}, {192, 200, block, 0, false}},
		},
		{
			name: "dimmed", p: rear(t), safe: dimSafe(),
			notes: "on after three highs that lie at most twelve lows apart. Thirteen lows between them: never on.\nNine lows: on after the third high, sample 156; the last is sample 186, and twenty lows later it is off.",
			runs:  slices.Concat([]vector.Run{frames(10, 0)}, pulses(4, 13), pulses(6, 9), []vector.Run{frames(6, 0)}),
			want:  []want{{0, 156, block, 0, false}, {157, 167, block, 0, true}, {168, 206, block, 255, true}, {207, 215, block, 255, false}, {216, 243, block, 0, false}},
		},
		{
			name: "shared", p: rear(t), safe: sharedSafe(),
			notes: "tail and stop on one wire: dimmed it is tail alone; wholly high, stop is on with the fifteenth high of the last twenty, sample 194,\nand off when ten are left, sample 233. The wire of the stop input itself is not read.",
			runs:  slices.Concat([]vector.Run{frames(10, 0)}, dims(5), []vector.Run{{Refreshes: 40, In: tail, Link: true}}, dims(5)),
			want: []want{{0, 194, block, 0, false}, {195, 207, block, 0, true}, {208, 233, block, 255, true}, {234, 247, block, 255, false}, {248, 319, block, 0, false},
				{0, 95, edge, 0, false}, {96, 319, edge, tailLevel, false}},
		},
	}
}

// sharedSafe reads stop from the tail wire, whose pulses are 4 refreshes of 20.
func sharedSafe() *program.Safe {
	s := evenSafe()
	s.Shared = program.Shared{Used: true, From: 0, As: 1}
	s.On[0], s.Gap[0], s.Off[0] = 3, 16, 20
	s.On[1], s.Off[1] = 1, 1
	return s
}

// dims is n periods of the tail wire while it is dimmed.
func dims(n int) (runs []vector.Run) {
	for range n {
		runs = append(runs, vector.Run{Refreshes: 4, In: tail, Link: true}, vector.Run{Refreshes: 16, Link: true})
	}
	return runs
}

// dimSafe has a filter for a feed dimmed by pulses on the stop input.
func dimSafe() *program.Safe {
	s := evenSafe()
	s.On[1], s.Gap[1], s.Off[1] = 3, 12, 20
	return s
}

// pulses is n highs of one refresh on the stop input, each followed by so many lows.
func pulses(n, lows int) (runs []vector.Run) {
	for range n {
		runs = append(runs, vector.Run{Refreshes: 1, In: stop, Link: true}, vector.Run{Refreshes: lows, Link: true})
	}
	return runs
}

// chopSafe has filters for a feed with gaps: on after 7 refreshes, off after 16.
func chopSafe() *program.Safe {
	s := evenSafe()
	for i := range s.On {
		s.On[i], s.Off[i] = 7, 16
	}
	return s
}

// flashes is a flasher on the turn input, in refreshes.
func flashes(n, on, off int) (runs []vector.Run) {
	for range n {
		runs = append(runs, vector.Run{Refreshes: on, In: turn, Link: true}, vector.Run{Refreshes: off, Link: true})
	}
	return runs
}

// sweep says where the sweep of a flash ends whose first high sample is h, and that is expected to last for target
// refreshes: output 5 lights in its last tick.
func sweep(h, on, target int) []want {
	job := (h + 6) / 8           // the first job that knows the sample after which the input is on
	age := 8*job + 7 - h         // of the first high sample, at the job's snapshot
	k := (target - age - 10) / 8 // frames of the sweep
	return []want{{frame(job), frame(job+k) - 1, []int{5}, 0, false}, {frame(job + k), h + on, []int{5}, 255, false}}
}

func paceWants() []want {
	return slices.Concat(
		sweep(80+1334, 667, 667), // the second; the first took 260
		sweep(80+2668, 667, 667),
		sweep(4082+1300, 667, 667), // after the odd one
		sweep(5382+1334, 667, 667),
		sweep(8050+3*1000, 500, 500), // three that agree were learnt
		sweep(8050+4*1000, 500, 500),
	)
}
