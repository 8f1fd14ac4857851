package vector_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// barFixtures have a signal and a show that other inputs forbid, in each order of asking, barring and letting go.
func barFixtures(t *testing.T) []fixture {
	barred := func(notWhile, onlyWhile uint8) *program.Program {
		return &program.Program{Registers: 2, Layers: []program.Layer{
			{Name: "signal", Pace: -1, InputMask: tail, NotWhile: notWhile, OnlyWhile: onlyWhile, Slots: slots(edge), Stay: routine(t, "slots 0 x 4 to 90", "end"), Keep: 2,
				Leave: routine(t, "slots 0 x 4 to 20", "wait 2", "end")},
			{Name: "show", Show: true, Pace: -1, InputMask: show, NotWhile: notWhile, OnlyWhile: onlyWhile, Slots: slots(arrow), Window: 400, Keep: 9,
				Arrive: routine(t, "slots 0 x 6 to 30", "wait 2", "end"), Stay: routine(t, "slots 0 x 6 to 70", "wait 9", "again"), Leave: routine(t, "slots 0 x 6 to 40", "wait 10", "end")},
		}}
	}
	const asked = tail | show
	return []fixture{
		{
			name: "not-while", p: barred(stop, 0), safe: evenSafe(),
			notes: "not while stop is on: the signal leaves, the show is cut. Asked for and then barred, barred and then asked for, let go while barred, barred in leave, in keep and in arrive.",
			runs: []vector.Run{
				frames(10, 0), frames(10, asked), frames(10, asked|stop), frames(10, asked), frames(4, tail), frames(10, asked), // 0, 10, 20, 30, 40, 44
				frames(22, 0), frames(4, stop), frames(10, asked|stop), frames(10, asked), frames(4, 0), frames(10, show), // 54, 76, 80, 90, 100, 104
				frames(3, 0), frames(7, stop), frames(6, 0), frames(6, show), frames(14, 0), frames(4, stop), // 114, 117, 124, 130, 136, 150
				frames(6, 0), frames(2, show), frames(10, show|stop), frames(4, stop), frames(10, show), // 154, 160, 162, 172, 176
			},
			want: []want{
				// The signal: three frames of leave and two dark ones, then nothing.
				{frame(10), frame(20) - 1, edge, 90, false}, {frame(20), frame(23) - 1, edge, 20, false}, {frame(23), frame(30) - 1, edge, 0, false}, {frame(30), frame(54) - 1, edge, 90, false},
				{frame(57), frame(90) - 1, edge, 0, false}, {frame(90), frame(100) - 1, edge, 90, false}, {frame(103), frame(180), edge, 0, false},
				// The show: arrive takes three frames; cut in frame 20 it must be asked for anew, in frame 44, and then arrives, since its window was closed.
				{frame(10), frame(13) - 1, arrow, 30, false}, {frame(13), frame(20) - 1, arrow, 70, false}, {frame(20), frame(44) - 1, arrow, 0, false},
				{frame(44), frame(47) - 1, arrow, 30, false}, {frame(47), frame(54) - 1, arrow, 70, false}, {frame(54), frame(65) - 1, arrow, 40, false}, {frame(65), frame(104) - 1, arrow, 0, false},
				// A show that was let go before keeps its window, barred or not: it stays at once in frame 104. Barred in leave in frame 117, dark at once, and its window is closed.
				{frame(104), frame(114) - 1, arrow, 70, false}, {frame(114), frame(117) - 1, arrow, 40, false}, {frame(117), frame(130) - 1, arrow, 0, false},
				{frame(130), frame(133) - 1, arrow, 30, false}, {frame(133), frame(136) - 1, arrow, 70, false}, {frame(136), frame(147) - 1, arrow, 40, false}, {frame(147), frame(160) - 1, arrow, 0, false},
				// Barred in keep in frame 150: the window is closed there, too. Barred in arrive in frame 162, let go and asked for anew in frame 176.
				{frame(160), frame(162) - 1, arrow, 30, false}, {frame(162), frame(176) - 1, arrow, 0, false}, {frame(176), frame(179) - 1, arrow, 30, false}, {frame(179), frame(183), arrow, 70, false},
			},
		},
		{
			name: "only-while", p: barred(0, stop|turn), safe: evenSafe(),
			notes: "only while stop or turn is on; one may take over from the other. Then the same orders as with not-while.",
			runs: []vector.Run{
				frames(10, asked), frames(10, asked|stop), frames(4, stop), frames(10, asked|stop), frames(10, asked|turn), frames(10, asked), // 0, 10, 20, 24, 34, 44
				frames(10, asked|turn), frames(6, turn), frames(10, asked|stop|turn), frames(10, 0), // 54, 64, 70, 80
			},
			want: []want{
				{frame(1), frame(10) - 1, edge, 0, false}, {frame(10), frame(20) - 1, edge, 90, false}, {frame(20), frame(23) - 1, edge, 20, false}, {frame(24), frame(44) - 1, edge, 90, false},
				{frame(44), frame(47) - 1, edge, 20, false}, {frame(47), frame(54) - 1, edge, 0, false}, {frame(54), frame(64) - 1, edge, 90, false}, {frame(70), frame(80) - 1, edge, 90, false}, {frame(83), frame(87), edge, 0, false},
				{frame(1), frame(24) - 1, arrow, 0, false}, {frame(24), frame(27) - 1, arrow, 30, false}, {frame(27), frame(44) - 1, arrow, 70, false},
				{frame(44), frame(70) - 1, arrow, 0, false}, {frame(70), frame(73) - 1, arrow, 30, false}, {frame(73), frame(80) - 1, arrow, 70, false}, {frame(80), frame(87), arrow, 0, false},
			},
		},
		{
			name: "not-while-and-only-while", p: barred(turn, stop), safe: evenSafe(),
			notes: "only while stop is on and turn is off; and two that ask and bar in the same frame.",
			runs: []vector.Run{
				frames(10, stop), frames(6, asked|stop), frames(6, asked|stop|turn), frames(6, stop|turn), frames(6, asked|stop), frames(6, asked), // 0, 10, 16, 22, 28, 34
				frames(6, stop), frames(6, asked|turn), frames(6, 0), frames(6, asked|stop), frames(6, 0), // 40, 46, 52, 58, 64
			},
			want: []want{
				{frame(1), frame(10) - 1, edge, 0, false}, {frame(10), frame(16) - 1, edge, 90, false}, {frame(19), frame(28) - 1, edge, 0, false}, {frame(28), frame(34) - 1, edge, 90, false},
				{frame(37), frame(58) - 1, edge, 0, false}, {frame(58), frame(64) - 1, edge, 90, false},
				{frame(1), frame(10) - 1, arrow, 0, false}, {frame(13), frame(16) - 1, arrow, 70, false}, {frame(16), frame(28) - 1, arrow, 0, false}, {frame(31), frame(34) - 1, arrow, 70, false},
				{frame(34), frame(58) - 1, arrow, 0, false}, {frame(58), frame(61) - 1, arrow, 30, false}, {frame(61), frame(64) - 1, arrow, 70, false}, {frame(64), frame(67), arrow, 0, false},
			},
		},
	}
}
