package program_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"

	"pgregory.net/rapid"
)

// sleepy is a module with a signal on in1 with a repeat window of 30 frames, a paced turn on in3, and sleep after one unit of
// 64 frames. Its image runs from job 1 on; the job that is shown in frame f is job f − 2.
func sleepy(t *testing.T, change func(p *program.Program, s *program.Safe)) *program.Engine {
	t.Helper()
	r, err := program.Assemble([]string{"slot 0 to 200", "wait 20", "end"})
	if err != nil {
		t.Fatal(err)
	}
	p := &program.Program{Registers: 1, SleepAfter: 1, PacerInput: [2]uint8{4}, Layers: []program.Layer{
		{Pace: -1, InputMask: 1, Slots: []uint8{0}, Stay: r, Window: 30},
		{Pace: 0, InputMask: 4, Slots: []uint8{1}, Arrive: r, Stay: r},
	}}
	s := &program.Safe{Registers: 1}
	for i := range s.On {
		s.On[i], s.Off[i] = 8, 8
	}
	change(p, s)
	e, err := program.NewEngineFor(p, s)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// sleepsAfter steps whole frames without an input until the module may sleep, and gives how many; at most 1000.
func sleepsAfter(e *program.Engine) (frames int) {
	for ; frames < 1000 && !e.MaySleep(); frames++ {
		e.Frames(1, 0, true)
	}
	return frames
}

func unchanged(*program.Program, *program.Safe) {}

// The expectations are worked out from docs/engine.md, section 10. Idle jobs in a row begin with a job f; job f + 63 is the
// 64th, and is shown in frame f + 65, when f + 65 frames have been stepped.
func TestSleep(t *testing.T) {
	e := sleepy(t, unchanged)
	// Job 1 is the first of the image; signals begin with window 2, which is 1 after job 1 and 0 after job 2.
	if n := sleepsAfter(e); n != 2+65 {
		t.Errorf("sleeps after %d frames, want 67", n)
	}
	e.Step(1, true) // a touch of one refresh is counted
	if e.MaySleep() {
		t.Error("it may sleep while an input is being counted")
	}
	e.Frames(1, 0, true)
	if n := sleepsAfter(e); n != 0 {
		t.Errorf("a touch between two snapshots cost %d frames", n)
	}
	e.Woke()
	if e.MaySleep() {
		t.Error("it may sleep at once after it woke")
	}
	if n := sleepsAfter(e); n != 2 {
		t.Errorf("it sleeps again %d frames after it woke, want 2", n)
	}
	e.Woke()
	e.Frames(1, 1, true)
	if n := sleepsAfter(e); n < 64 {
		t.Errorf("it sleeps again %d frames after a press", n)
	}
}

func TestWhatKeepsAwake(t *testing.T) {
	never := 1000
	for _, c := range []struct {
		name   string
		change func(p *program.Program, s *program.Safe)
		act    func(e *program.Engine)
		want   int // frames after act
	}{
		{"no sleep in the image", func(p *program.Program, _ *program.Safe) { p.SleepAfter = 0 }, func(*program.Engine) {}, never},
		{"two units", func(p *program.Program, _ *program.Safe) { p.SleepAfter = 2 }, func(*program.Engine) {}, 2 + 65 + 64},
		{"a walk image", func(p *program.Program, _ *program.Safe) {
			*p = program.Program{Registers: 1, Walk: true}
		}, func(*program.Engine) {}, never},
		{"the wrong plug", func(p *program.Program, _ *program.Safe) { p.SideByStrap, p.Side = true, program.LH }, func(*program.Engine) {}, 2 + 65},
		// The 10th press frame is job 9, off in job 10 with window 30: it is 0 after job 40. The pin is counted in frame 10 and off at its end.
		{"a repeat window", unchanged, func(e *program.Engine) { e.Frames(10, 1, true) }, 30 + 65},
		// A live frame is heard in frame 10, in an image that does not allow it: job 11 is the first idle one.
		{"a byte on the serial line", unchanged, func(e *program.Engine) { e.Frames(10, 0, true); e.Stream(make([]uint8, 3)) }, 1 + 65},
		// Live mode lasts in jobs 10 to 72.
		{"live mode", func(p *program.Program, _ *program.Safe) { p.Live = true }, func(e *program.Engine) { e.Frames(10, 0, true); e.Stream(make([]uint8, 8)) }, 63 + 65},
		// An input without a layer that is on, and is off from job 30 on.
		{"an input that nothing asks for", unchanged, func(e *program.Engine) { e.Frames(30, 0x80, true) }, 65},
		// A wire whose turn is read elsewhere: raw inputs count.
		{"an input where a turn is read", func(_ *program.Program, s *program.Safe) {
			s.StopTurn[0] = program.StopTurn{Used: true, Wire: 1, Reference: 3, Turn: 7}
		}, func(e *program.Engine) { e.Frames(30, 0x80, true) }, 65},
	} {
		e := sleepy(t, c.change)
		if c.act(e); e.MaySleep() {
			t.Errorf("%s: it may sleep at once", c.name)
		}
		if n := sleepsAfter(e); n != c.want {
			t.Errorf("%s: it may sleep after %d frames, want %d", c.name, n, c.want)
		}
	}
}

// What waits to be written to the memory is written before the module sleeps, one byte a frame.
func TestSleepWaitsForTheMemory(t *testing.T) {
	e := sleepy(t, func(p *program.Program, _ *program.Safe) { p.TurnFed = true })
	e.Frames(10, 0, true)
	e.Frames(60, 4, true)
	e.Frames(1, 0, true) // off: job 70 learns 480 refreshes, and writes the first byte
	for i, want := range [][program.MemoryBytes]byte{
		{60, 255, 255, 255, 255, 255, 255, 255, 255, 255}, {60, 195, 255, 255, 255, 255, 255, 255, 255, 255},
		{60, 195, 255, 255, 255, 255, 255, 255, 1, 255}, {60, 195, 255, 255, 255, 255, 255, 255, 1, 0}, {60, 195, 255, 255, 255, 255, 255, 255, 1, 0},
	} {
		if got := e.Memory(); got != want {
			t.Errorf("frame %d after the flash: the memory holds %v, want %v", i, got, want)
		}
		if got := e.Kept(); got != [program.MemoryBytes]byte{60, 195, 255, 255, 255, 255, 255, 255, 1, 0} {
			t.Errorf("frame %d after the flash: %v will be kept", i, got)
		}
		e.Frames(1, 0, true)
	}
	// Bytes wait after jobs 70, 71 and 72: job 73 is the first idle one, shown 64 jobs later in frame 138; 76 are done.
	if n := sleepsAfter(e); n != 73+65-76 {
		t.Errorf("sleeps after %d frames, want %d", n, 73+65-76)
	}
}

// Power that is lost while a pace is written never leaves a wrong one: the old, the new, or none.
func TestMemoryCutShort(t *testing.T) {
	old := [program.MemoryBytes]byte{90, 165, 255, 255, 255, 255, 255, 255, 4, 0}
	targets := map[byte]int{}
	for cut := range 8 {
		change := func(p *program.Program, _ *program.Safe) { p.TurnFed = true }
		e := withMemory(t, change, old)
		for range 2 { // that agree
			e.Frames(10, 0, true)
			e.Frames(60, 4, true)
		}
		e.Frames(cut, 0, true)
		again := e.Memory()
		held := again[0]
		if again[1] != 255-held {
			held = 0 // nothing valid: the default serves
		}
		targets[held]++
		if held != 0 && held != 90 && held != 60 {
			t.Errorf("cut %d frames after the flash: %v", cut, again)
		}
	}
	if len(targets) != 3 {
		t.Errorf("the cuts left only %v", targets)
	}
}

func withMemory(t *testing.T, change func(p *program.Program, s *program.Safe), memory [program.MemoryBytes]byte) *program.Engine {
	t.Helper()
	var image []byte
	var block [program.SafeBytes]byte
	sleepy(t, func(p *program.Program, s *program.Safe) {
		change(p, s)
		var err error
		if image, err = program.Encode(p); err != nil {
			t.Fatal(err)
		}
		if block, err = program.EncodeSafe(s); err != nil {
			t.Fatal(err)
		}
	})
	return program.NewEngine(program.Powering{SafeA: block[:], SafeB: block[:], Image: image, Memory: &memory})
}

// A module sleeps dark, and shows after the pause what it would have shown: the engine's light does not depend on Woke.
func TestSleepIsDark(t *testing.T) {
	slept := 0
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		s := programtest.RandomSafe(t, p)
		e := program.NewEngine(programtest.RandomModule(t, p, s).Powering())
		other := e.Clone()
		for _, r := range programtest.RandomSamples(t, p, s, 6000) {
			r.Begin(e)
			r.Begin(other)
			for range r.Refreshes {
				if e.MaySleep() {
					slept++
					if e.Words() != [program.Slots][program.MaxRegisters]uint8{} {
						t.Fatal("it may sleep with a light on")
					}
					if rapid.Bool().Draw(t, "sleeps") {
						e.Woke()
					}
				}
				e.Step(r.In, r.Link)
				if other.Step(r.In, r.Link); e.Shown() != other.Shown() {
					t.Fatal("sleep changed the light")
				}
			}
		}
	})
	if slept == 0 {
		t.Error("no module could sleep")
	}
}
