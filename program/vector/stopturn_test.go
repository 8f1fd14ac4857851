package vector_test

import (
	"slices"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// Where the turns of stop-and-turn wires are read, and a second such wire.
const (
	turnAlone  = 0x20 // in6, of the wire turn
	wire2      = 0x40 // in7
	turnAlone2 = 0x80 // in8, of the wire in7
)

// carrySafe has the stop on the turn wire, told apart by the stop input, and on a second wire if so wanted.
func carrySafe(s *program.Safe, two bool) *program.Safe {
	s.StopTurn[0] = program.StopTurn{Used: true, Wire: 2, Reference: 1, Turn: 5}
	if two {
		s.StopTurn[1] = program.StopTurn{Used: true, Wire: 6, Reference: 1, Turn: 7}
	}
	return s
}

// carried is a lamp with a turn that is still at level 200 on output 1, a second on output 6, and stop.
func carried() *program.Program {
	return &program.Program{Registers: 2, Layers: []program.Layer{
		{Name: "turn", Pace: -1, InputMask: turnAlone, Slots: []uint8{0}, Still: levels(1, 200)},
		{Name: "turn 2", Pace: -1, InputMask: turnAlone2, Slots: []uint8{5}, Still: levels(1, 200)},
		stopLayer(),
	}}
}

// keeping is a turn over an output of the stop, which it holds dark for 800 ms after each flash.
func keeping() *program.Program {
	p := carried()
	p.Layers = []program.Layer{{Name: "turn", Pace: -1, InputMask: turnAlone, Slots: []uint8{8}, Still: levels(1, 200), Keep: 200}, stopLayer()}
	return p
}

// lasts says that the turn (or the second) is on from one job until another, and off from there until a third.
func lasts(out, from, until, to int) []want {
	return []want{{frame(from), frame(until) - 1, []int{out}, 200, false}, {frame(until), frame(to) - 1, []int{out}, 0, false}}
}

// stopTurnFixtures show every row of the table of docs/engine.md, section 3.2.
func stopTurnFixtures(t *testing.T) []fixture {
	refreshes := func(n int, in uint8) vector.Run { return vector.Run{Refreshes: n, In: in, Link: true} }
	safe := carrySafe(evenSafe(), false)
	safe.TurnA = turnAlone
	const wire, brake = turn, stop | turn
	return []fixture{
		{
			name: "stop-turn", p: carried(), safe: carrySafe(evenSafe(), false),
			notes: "wire alone for 20 ms: nothing. Wire flashing: turn, 24 ms late in the first flash, at once in the second. Brake in a flash: stop, turn in the on-times;\nthe lever let go: the turn is over 640 ms after the last flash. Brake alone: stop. A flash under the brake: stop and turn. The brake let go in a flash: turn.",
			runs: []vector.Run{
				frames(10, 0), frames(5, wire), frames(15, 0), frames(90, wire), frames(80, 0), frames(30, wire), frames(60, brake), // 0, 10, 15, 30, 120, 200, 230
				frames(80, stop), frames(190, brake), frames(20, 0), frames(100, brake), frames(80, stop), frames(60, brake), // 290, 370, 560, 580, 680, 760
				frames(20, wire), frames(20, 0), // 820, 840
			},
			want: slices.Concat(
				[]want{{frame(1), frame(35) - 1, []int{0}, 0, false}}, lasts(0, 35, 120, 200), lasts(0, 200, 290, 370), lasts(0, 370, 370+159, 760), lasts(0, 760, 840, 855),
				[]want{{frame(1), 8*230 + 7, block, 0, false}, {frame(230), 8*560 + 7, block, 255, true}, {frame(560), 8*580 + 7, block, 0, false}, {frame(580), 8*820 + 7, block, 255, true}, {frame(820), frame(855), block, 0, false}},
			),
		},
		{
			name: "stop-turn-keep", p: keeping(), safe: carrySafe(evenSafe(), false),
			notes: "a turn that keeps an output of the stop dark between its flashes: while the wire flashes it does, and once the turn is over the brake that is held lights it again.",
			runs:  []vector.Run{frames(10, 0), frames(60, brake), frames(90, stop), frames(300, brake)}, // 0, 10, 70, 160
			want: []want{
				{frame(10), frame(160) - 1, []int{8}, 255, true},   // the brake; the wire's gap alone is no turn yet
				{frame(160), frame(319) - 1, []int{8}, 200, false}, // the flash; the lever is let go in it
				{frame(319), frame(320) - 1, []int{8}, 0, false},   // 640 ms later: over
				{frame(320), frame(450), []int{8}, 255, true},
			},
		},
		{
			name: "stop-turn-together", p: carried(), safe: carrySafe(evenSafe(), false),
			notes: "brakes, in which the wire rises or falls 10 ms before or after its reference, are no flash; nor are they within 640 ms after one. At 24 ms apart they are.",
			runs: []vector.Run{
				frames(10, 0), refreshes(20, wire), refreshes(800, brake), refreshes(20, stop), refreshes(80, 0), // the wire comes first and goes first
				refreshes(20, stop), refreshes(800, brake), refreshes(20, wire), refreshes(80, 0), // frame 125: the wire comes last and goes last
				frames(60, wire), frames(40, 0), refreshes(20, stop), refreshes(300, brake), frames(20, 0), // frames 240 (a flash), 300, 340
				refreshes(20, stop), refreshes(28, stop), refreshes(84-48+4, brake), frames(10, brake), frames(20, 0),
			},
			want: slices.Concat(
				[]want{{frame(1), frame(240+5) - 1, []int{0}, 0, false}}, lasts(0, 245, 300, 400),
				// Frame 400: the reference rises; six frames later they are still apart, and the wire follows as after a flash: stop and turn.
				lasts(0, 406, 421, 430),
			),
		},
		{
			name: "stop-turn-broken", p: carried(), safe: carrySafe(evenSafe(), false),
			notes: "the reference is broken: the wire alone for a second is stop, and no turn any more; it ends with the wire. A flash after it is a turn, 24 ms late again.\nThe wire is broken: stop by its reference for longer than a second; when the wire comes back, that is no turn.",
			runs: []vector.Run{
				frames(10, 0), frames(300, wire), frames(40, 0), frames(80, wire), frames(170, 0), // 0, 10, 310, 350, 430
				frames(300, stop), frames(40, brake), frames(10, 0), // 600, 900, 940
			},
			want: slices.Concat(
				lasts(0, 15, 10+249, 355), lasts(0, 355, 430, 940),
				[]want{{frame(1), frame(259) - 1, block, 0, false}, {frame(259), frame(310) - 1, block, 255, false}, {frame(310), 8*600 + 7, block, 0, false}, {frame(600), 8*940 + 7, block, 255, true}},
			),
		},
		{
			name: "stop-turn-two", p: carried(), safe: carrySafe(evenSafe(), true),
			notes: "two wires with one reference. Hazard: both flash. Brake, then the turn of the second: stop, and that turn alone. Brake alone, then both flash under it: stop and both.\nThe reference is broken: both alone for a second, the stop comes by them and goes with the last.",
			runs: []vector.Run{
				frames(10, 0), frames(80, wire|wire2), frames(80, 0), frames(80, wire|wire2), frames(220, 0), // 0, 10, 90, 170, 250
				frames(50, brake|wire2), frames(80, brake), frames(80, brake|wire2), frames(80, brake), frames(10, 0), // 470, 520, 600, 680, 760
				frames(230, brake|wire2), frames(80, stop), frames(80, brake|wire2), frames(240, 0), // 770, 1000, 1080, 1160
				frames(260, wire|wire2), frames(20, wire2), frames(10, 0), // 1400, 1660, 1680
			},
			want: slices.Concat(
				lasts(0, 15, 90, 170), lasts(5, 15, 90, 170), lasts(0, 170, 250, 1080), lasts(5, 170, 250, 600), lasts(5, 600, 680, 1080),
				lasts(0, 1080, 1160, 1405), lasts(5, 1080, 1160, 1405), lasts(0, 1405, 1649, 1685), lasts(5, 1405, 1649, 1685),
				[]want{{frame(10), 8*470 + 7, block, 0, false}, {frame(470), 8*760 + 7, block, 255, true}, {frame(770), 8*1160 + 7, block, 255, true},
					{frame(1160), frame(1649) - 1, block, 0, false}, {frame(1649), frame(1680) - 1, block, 255, false}, {frame(1680), frame(1685), block, 0, false}},
			),
		},
		{
			name: "stop-turn-safe", safe: safe, refusal: "0 bytes",
			notes: "the safe program sees the turn alone, too: its turn input is the one where the turn is read.",
			runs:  []vector.Run{frames(10, 0), frames(40, wire), frames(20, 0), frames(100, brake)},
			want: []want{{frame(1), frame(15) - 1, arrow, 0, false}, {frame(15), frame(50) - 1, arrow, 255, false}, {frame(50), frame(165), arrow, 0, false},
				{frame(1), 8*70 + 7, block, 0, false}, {frame(70), frame(165), block, 255, true}},
		},
		{
			name: "stop-turn-pace", p: carriedSweep(t), safe: carrySafe(chopSafe(), false),
			notes: "the sweep is paced by the wire. Two brakes of 300 refreshes are not learnt; the first flash is swept in the default time from its first high sample on, those after it in the time of the flash before.",
			runs: slices.Concat([]vector.Run{refreshes(80, 0)}, pairs(2, 300, 300, brake), []vector.Run{refreshes(800, 0)}, flashes(3, 667, 667),
				pairs(1, 667, 667, brake), flashes(1, 667, 400)),
			want: slices.Concat(lateSweep(2080), sweep(2080+1334, 667, 667), sweep(2080+2668, 667, 667)),
		},
	}
}

// pairs is n pulses, in refreshes, on some inputs.
func pairs(n, on, off int, in uint8) (runs []vector.Run) {
	for range n {
		runs = append(runs, vector.Run{Refreshes: on, In: in, Link: true}, vector.Run{Refreshes: off, Link: true})
	}
	return runs
}

// carriedSweep is the rear lamp with its turn on a wire that carries the stop.
func carriedSweep(t *testing.T) *program.Program {
	p := rear(t)
	p.Layers[0].InputMask = turnAlone
	return p
}

// lateSweep is the first sweep of a flash whose first high sample is h: five frames late, in what is left of 260 refreshes.
func lateSweep(h int) []want {
	job := (h+6)/8 + 5
	age := 8*job + 7 - h
	k := (260 - age - 10) / 8
	return []want{{frame(job), frame(job+k) - 1, []int{5}, 0, false}, {frame(job + k), h + 667, []int{5}, 255, false}}
}
