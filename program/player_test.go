package program_test

import (
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"

	"pgregory.net/rapid"
)

// A fade stays between where it began and its target, moves one way only, keeps within three levels of straight, and is
// there in its last tick.
func TestFadesDoNotOvershoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := rapid.Uint8().Draw(t, "from"), rapid.Uint8().Draw(t, "to")
		over := rapid.IntRange(1, 255).Draw(t, "over")
		var c program.Coder
		c.Fade(0, from)
		c.Over(over)
		c.Fade(0, to)
		c.Wait(over)
		r, err := c.End()
		if err != nil {
			t.Fatal(err)
		}
		last := int(from)
		for tick, row := range program.PlayRoutine(r, 1) {
			now, ideal := int(row[0]), float64(from)+(float64(to)-float64(from))*float64(tick)/float64(over)
			if now < min(int(from), int(to)) || now > max(int(from), int(to)) || from <= to && now < last || from >= to && now > last {
				t.Fatalf("tick %d of %d: level %d on the way from %d to %d, after %d", tick, over, now, from, to, last)
			}
			if d := float64(now) - ideal; d > 1.5 || d < -2.5 {
				t.Fatalf("tick %d of %d: level %d, straight would be %.2f", tick, over, now, ideal)
			}
			last = now
		}
		if last != int(to) {
			t.Fatalf("the fade to %d ends at %d", to, last)
		}
	})
}

// What PlayRoutine gives is what the engine shows.
func TestPlayRoutineIsTheEngine(t *testing.T) {
	compared := 0
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		for _, l := range p.Layers {
			if l.Stay == nil || l.Stay.Ticks > 3000 {
				continue
			}
			alone := &program.Program{Registers: p.Registers, Layers: []program.Layer{{Show: true, Pace: -1, InputMask: 1, Slots: l.Slots, Stay: l.Stay}}}
			safe := programtest.RandomSafe(t, p)
			safe.Invert, safe.Stop, safe.Shared, safe.StopTurn, safe.Over = 0, 0, program.Shared{}, [2]program.StopTurn{}, 0
			e, err := program.NewEngineFor(alone, safe)
			if err != nil {
				t.Fatal(err)
			}
			e.Frames(120, 0, true) // longer than any check of an image
			for waited := 0; e.Owner()[l.Slots[0]].Phase != program.Stay; waited++ {
				if e.Frames(1, 1, true); waited > 200 {
					t.Fatal("the show does not begin")
				}
			}
			for tick, row := range program.PlayRoutine(l.Stay, len(l.Slots)) {
				shown := e.Shown().Levels
				for s, level := range row {
					if shown[l.Slots[s]] != level {
						t.Fatalf("tick %d, slot %d: played %d, shown %d", tick, s, level, shown[l.Slots[s]])
					}
				}
				e.Frames(1, 1, true)
				compared++
			}
		}
	})
	if compared == 0 {
		t.Error("no routine was compared")
	}
}

func TestPlayerTellsWhereItStands(t *testing.T) {
	r, err := program.Assemble([]string{"over 9", "slot 0 to 90", "wait 4", "end"})
	if err != nil {
		t.Fatal(err)
	}
	p := program.NewPlayer(r, 1)
	for tick := range 9 {
		if p.Position() != tick || p.Ended() != (tick >= 4) || p.Settled() {
			t.Errorf("tick %d: position %d, ended %t, settled %t", tick, p.Position(), p.Ended(), p.Settled())
		}
		p.Tick()
	}
	if !p.Settled() || p.Level(0) != 90 {
		t.Errorf("after its last fade: settled %t, level %d", p.Settled(), p.Level(0))
	}
	loop, err := program.Assemble([]string{"slot 1 to 7", "wait 3", "again"})
	if err != nil {
		t.Fatal(err)
	}
	p.Start(loop, 2)
	for tick := range 10 {
		if p.Position() != tick%3 || p.Ended() || p.Level(0) != 0 || p.Level(1) != 7 {
			t.Errorf("tick %d: position %d, ended %t, levels %d %d", tick, p.Position(), p.Ended(), p.Level(0), p.Level(1))
		}
		p.Tick()
	}
}

func TestPlayerAllocatesNothing(t *testing.T) {
	r, err := program.Assemble([]string{"over 30", "loop 5 shift 2", "slots 0 x 2 to 90", "wait 4", "close", "again"})
	if err != nil {
		t.Fatal(err)
	}
	p := program.NewPlayer(r, 10)
	if n := testing.AllocsPerRun(100, func() {
		p.Start(r, 10)
		for range 50 {
			p.Tick()
		}
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func TestCoderTellsTheFirstMistake(t *testing.T) {
	for name, write := range map[string]func(c *program.Coder){
		"slot 64":        func(c *program.Coder) { c.Fade(64, 1); c.Over(300) },
		"slots 0":        func(c *program.Coder) { c.Span(0, 0, 1) },
		"fade time":      func(c *program.Coder) { c.Over(256) },
		"passes 1":       func(c *program.Coder) { c.Loop(1, 0) },
		"shift of 128":   func(c *program.Coder) { c.Loop(2, 128) },
		"wait of -1":     func(c *program.Coder) { c.Wait(-1) },
		"not begun":      func(c *program.Coder) { c.Close() },
		"inside a loop":  func(c *program.Coder) { c.Loop(2, 0); c.Wait(1) },
		"without a wait": func(c *program.Coder) {},
	} {
		var c program.Coder
		write(&c)
		if _, err := c.Again(); err == nil || !contains(err, name) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestCoderWaits(t *testing.T) {
	for ticks := range 1000 {
		var c program.Coder
		c.Wait(ticks)
		r, err := c.End()
		if err != nil || r.Ticks != ticks {
			t.Fatalf("a wait of %d: %v, %v", ticks, r, err)
		}
	}
}
