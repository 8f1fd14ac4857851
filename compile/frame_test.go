package compile

import (
	"strings"
	"testing"

	"lampwright/program"
)

func TestLiveModeKeepsRoomForItsLevels(t *testing.T) {
	text := wide(3, "{beat: {on: bar, for: 1 s}}")
	_, r := compiled(t, text)
	if m := r.Modules[0]; m.Program.Live || m.Fades != 192 {
		t.Errorf("live %v, %d fades", m.Program.Live, m.Fades)
	}
	streamed := strings.Replace(text, "board: chain-64,", "board: chain-64, stream: true,", 1)
	r, list := Compile(load(t, streamed), Options{})
	found := false
	for _, d := range list {
		found = found || d.ID == "limit" && d.Figure == "192" && d.Limit == "181" && strings.Contains(d.Why, "s0 64") && strings.Contains(d.Why, "room of 11") && strings.Contains(d.Next, "stream")
	}
	if !found || r.Modules[0].Image != nil {
		t.Errorf("%v", list)
	}
	_, r = compiled(t, strings.Replace(streamed, "  - s2: {input: a, stay: r2}", "  - s2: {input: a, stay: r2, takes: bar.1..53}", 1)) // 64 + 64 + 53 = 181
	if m := r.Modules[0]; !m.Program.Live || m.Fades != 181 || m.Image == nil {
		t.Errorf("live %v, %d fades", m.Program.Live, m.Fades)
	}
}

// In live mode no show runs, so the streamed light costs a frame no more than the shows would.
func TestAFrameOfLiveMode(t *testing.T) {
	text := wide(1, "{beat: {on: bar, for: 1 s}}")
	_, plain := compiled(t, text)
	_, streamed := compiled(t, strings.Replace(text, "board: chain-64,", "board: chain-64, stream: true,", 1))
	if plain.Modules[0].FrameCycles() != streamed.Modules[0].FrameCycles() {
		t.Errorf("%d cycles, %d streamed", plain.Modules[0].FrameCycles(), streamed.Modules[0].FrameCycles())
	}
	// Signals stay, and then the streamed light comes on top of them.
	text = strings.Replace(strings.Replace(text, "inputs: {a:", "inputs: {tail:", 1), "shows:\n  - s0: {input: a,", "signals:\n  - s0: {input: tail, takes: bar,", 1)
	_, plain = compiled(t, text)
	_, streamed = compiled(t, strings.Replace(text, "board: chain-64,", "board: chain-64, stream: true,", 1))
	if more := streamed.Modules[0].FrameCycles() - plain.Modules[0].FrameCycles(); more != layerCycles+64*stillSlotCycles {
		t.Errorf("%d cycles more", more)
	}
}

// However fast a turn flashes and however slowly its wire is read, a paced arrive has as many frames as the estimate of a frame
// allows for: the engine plays it after flashes of the shortest on-time that is believed.
func TestPacedArriveIsNotHurriedFurther(t *testing.T) {
	for _, c := range []struct{ wire, next string }{
		{"", ""},
		{", feed: {kind: flasher, test-pulse: {width: 20 ms}}", ""},
		{", feed: {kind: dimmed, duty: 50 %, at: 50 Hz, bounce: 20 ms}", ""},
		{", carries-stop: {reference: stop}", "brake"},
	} {
		_, r := compiled(t, change(t, "  turn-lh: {wire: left.in3}", "  turn-lh: {wire: left.in3"+c.wire+"}"))
		m := r.Modules[0]
		e := engineOf(t, m, program.LH)
		run := func(in uint8, refreshes int) {
			for range refreshes {
				e.Step(in^m.Safe.Invert, true)
			}
		}
		for range 20 {
			run(wireOn, shortestOn-int(m.Safe.Off[2])+int(m.Safe.On[2])+2)
			run(0, 600)
		}
		if c.next == "brake" { // the brake first, and the turn while it is held: the wire is on long before the turn is found
			run(stopOn|wireOn, 2000)
			run(stopOn, 400)
		}
		frames := 0
		for range 100 {
			e.Frames(1, wireOn^m.Safe.Invert, true)
			if e.Phases()[0] == program.Arrive {
				frames++
			}
		}
		if most := m.hurried(0); frames == 0 || frames > 34 || frames*most < pacedTicks {
			t.Errorf("%q: %d ticks in %d frames, and at most %d in one are allowed for", c.wire, pacedTicks, frames, most)
		}
	}
}

// Ticks that fall in one frame follow each other, and the last tick of a loop is followed by its first.
func TestBusiestTicksInARow(t *testing.T) {
	begun := []event{{tick: 99}, {tick: 7}, {}, {}, {}, {tick: 5}, {tick: 6}}
	for _, c := range []struct {
		loops       bool
		ticks, most int
	}{{false, 1, 3}, {true, 1, 3}, {false, 5, 3}, {false, 6, 4}, {false, 8, 6}, {true, 8, 6}, {false, 9, 6}, {true, 9, 7}, {true, 2, 4}, {true, 100, 7}} {
		r := Routine{Code: &program.Routine{Ticks: 100, Loops: c.loops}, begins: begins(begun)}
		if got := r.busiest(c.ticks); got != c.most {
			t.Errorf("%d ticks, loops %v: %d fades, want %d", c.ticks, c.loops, got, c.most)
		}
	}
	if got := (&Routine{Code: &program.Routine{Ticks: 1, Loops: true}}).busiest(10); got != 0 {
		t.Errorf("%d fades of none", got)
	}
}
