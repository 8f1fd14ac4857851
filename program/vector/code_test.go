package vector_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// codeFixtures show routine code: every operation, and the arithmetic of fades.
func codeFixtures(t *testing.T) []fixture {
	swing := program.Layer{
		Name: "swing", Show: true, Pace: -1, InputMask: show, Slots: slots(span(0, 15)),
		Stay: routine(t,
			"over 4", "loop 3 shift 4", // thrice: four up with a shift of one, two of them at once down
			"  loop 4 shift 1", "    slot 0 to 255", "    wait 3", "  close",
			"  over 0 wide", "  slots 1 x 2 to 0", "  over 7", "close",
			"loop 12 shift -1", "  slot 11 to 3", "  wait 2", "close",
			"over 200", "slots 12 x 4 to 200", "wait 70", "over 63", "slots 14 x 2 to 9", "wait 100", "again"),
	}
	return []fixture{
		{
			name: "operations", p: &program.Program{Registers: 2, Layers: []program.Layer{swing}}, safe: evenSafe(),
			notes: "every operation of routine code, loops within loops, negative shifts, fades cut by fades.",
			runs:  []vector.Run{frames(4, 0), frames(260, show)},
			want: []want{
				// Slot 0 fades to 255 in ticks 0..4: q = 65535/4 = 16383, step = 65280 · 16383 >> 16 = 16319 (63 levels and 191/256).
				{frame(4), frame(5) - 1, span(0, 0), 0, false}, {frame(5), frame(6) - 1, span(0, 0), 63, false}, {frame(6), frame(7) - 1, span(0, 0), 127, false},
				{frame(7), frame(8) - 1, span(0, 0), 191, false}, {frame(8), frame(9) - 1, span(0, 0), 255, false},
				// Slot 1 begins in tick 3, is full in tick 7, and is put out at once in tick 12, when slot 4 begins over 7 ticks.
				{frame(4 + 7), frame(4+12) - 1, span(1, 1), 255, false}, {frame(4 + 12), frame(4 + 40), span(1, 2), 0, false},
				{frame(4 + 19), frame(4 + 20), span(4, 4), 255, false},
				// The loop back begins in tick 36 with slot 11, each two ticks later, in 7 ticks.
				{frame(4 + 43), frame(4 + 59), span(11, 11), 3, false}, {frame(4 + 36 + 22 + 7), frame(4 + 200), span(0, 11), 3, false},
				// Slots 14 and 15 go up from tick 60 for 200 ticks, turn in tick 130, and rest at 9 from tick 193 on.
				{frame(4 + 193), frame(4 + 229), span(14, 15), 9, false},
			},
		},
		{
			name: "fade-steps", safe: evenSafe(),
			notes: "the steps of fades round down: 0 to 128 in 128 ticks goes by 255/256 of a level, and jumps at its end.",
			p: &program.Program{Registers: 2, Layers: []program.Layer{{
				Name: "steps", Show: true, Pace: -1, InputMask: show, Slots: []uint8{0, 1},
				Stay: routine(t, "over 128", "slot 0 to 128", "over 255", "slot 1 to 1", "wait 130", "over 128", "slot 0 to 0", "wait 140", "again"),
			}}},
			runs: []vector.Run{frames(4, 0), frames(275, show)},
			// q = 65535/128 = 511, step = 32768 · 511 >> 16 = 255: tick n shows 255 n >> 8, and (32768 − 255 n) >> 8 on the way back.
			want: []want{
				{frame(5), frame(6) - 1, span(0, 0), 0, false}, {frame(6), frame(7) - 1, span(0, 0), 1, false}, {frame(104), frame(105) - 1, span(0, 0), 99, false},
				{frame(131), frame(132) - 1, span(0, 0), 126, false}, {frame(132), frame(135) - 1, span(0, 0), 128, false},
				{frame(135), frame(136) - 1, span(0, 0), 127, false}, {frame(234), frame(235) - 1, span(0, 0), 28, false}, {frame(261), frame(262) - 1, span(0, 0), 1, false},
				{frame(262), frame(273), span(0, 0), 0, false}, {frame(4), frame(259) - 1, span(1, 1), 0, false}, {frame(259), frame(273), span(1, 1), 1, false},
			},
		},
		{
			name: "all-outputs", safe: wideSafe(), notes: "64 outputs, two fading shows, stop over both.",
			p: &program.Program{Registers: 8, Layers: []program.Layer{
				{Name: "stop", Fast: true, Pace: -1, InputMask: stop, Slots: slots(span(20, 43)), Still: levels(24, 255)},
				{Name: "one", Show: true, Pace: -1, InputMask: show, Slots: slots(span(0, 31)), Stay: routine(t, "over 10", "slots 0 x 32 to 250", "wait 10", "over 5", "slots 8 x 16 to 20", "wait 10", "again")},
				{Name: "two", Show: true, Pace: -1, InputMask: show, Slots: slots(span(0, 63)), Stay: routine(t, "over 15", "loop 4 shift 16", "slots 0 x 16 to 180", "wait 7", "close", "again")},
			}},
			runs: []vector.Run{frames(5, 0), frames(20, show), frames(20, show|stop), frames(10, show), frames(4, 0)},
			want: []want{
				{frame(25), 8*45 + 7, span(20, 43), 255, true}, {frame(15), frame(16) - 1, span(0, 31), 250, false}, {frame(55), frame(56), span(0, 63), 0, false},
			},
		},
	}
}

// wideSafe is for eight registers: stop in the middle.
func wideSafe() *program.Safe {
	s := evenSafe()
	s.Registers = 8
	s.StopOut, s.TailOut, s.TurnAOut = [8]uint8{0, 0, 0xF0, 0xFF, 0xFF, 0x0F}, [8]uint8{0x0F}, [8]uint8{7: 0xF0}
	return s
}
