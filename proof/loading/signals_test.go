package loading

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"lampwright/flash"
	"lampwright/program"
)

// stopWithin is the longest from the edge of a stop input to its light, at any moment of a load; docs/loading.md, section 3.
const stopWithin = 5 * time.Millisecond

// A stop pressed at any moment of erasing or writing is lit in time, be the processor looking on or standing still.
func TestStopWhileFlashIsWritten(t *testing.T) {
	for _, k := range kinds[1:] {
		safe, block := k.safe(t, 40, nil)
		image := k.image(t, 0, nil)
		pages := 2 + 1 + (len(image)+flash.PageBytes-1)/flash.PageBytes
		for operation := 1; operation <= 2*pages; operation++ {
			b := k.module(t, safe, k.image(t, 0, nil))
			b.do("slow 1")
			b.do("watch %x", mask(stopOut))
			// Presses early, in the middle and just before the end of the longest writing there can be, one in each of three loads.
			for _, after := range []int{1, 2200, 4490} {
				b.do("during %d %d %d", operation, after, stopIn-1)
				if d := load(b, k.wanted(block, image)); d != nil {
					t.Fatal(d)
				}
				b.press(stopIn, false)
				b.run(600 * time.Millisecond)
			}
			s := b.sound()
			if s.presses != 3 || s.latency > stopWithin || s.latency == 0 {
				t.Errorf("%v, operation %d: %d presses, the latest light after %v", k, operation, s.presses, s.latency)
			}
		}
	}
}

// Stops pressed at random moments of a whole load, from the first byte to the restart, are lit in time while core or loader run.
func TestStopAtRandomMoments(t *testing.T) {
	for i, k := range []kind{kinds[0], kinds[2]} {
		r := rand.New(rand.NewPCG(uint64(i), 9))
		safe, block := k.safe(t, 40, nil)
		b := k.module(t, safe, k.image(t, 600, nil))
		b.do("slow 1")
		b.do("watch %x", mask(stopOut))
		pressed := 0
		b.watch = func() {
			if s := b.state(); s.restarts > 0 {
				return
			}
			if pressed++; pressed%3 == 1 {
				b.do("later %d %d 1", 1+r.IntN(60_000), stopIn-1)
			} else if pressed%3 == 0 {
				b.press(stopIn, false)
			}
		}
		if d := load(b, k.wanted(block, k.image(t, 6000, nil))); d != nil {
			t.Fatal(d)
		}
		s := b.sound()
		if s.presses < 45 || s.latency > stopWithin {
			t.Errorf("%v: %d presses, the latest light after %v", k, s.presses, s.latency)
		}
		t.Logf("%v: %d presses, the latest light after %v", k, s.presses, s.latency)
	}
}

// enter brings a module of that safe block into its loader.
func (k kind) enter(t *testing.T, safe *program.Safe) *bench {
	t.Helper()
	b := k.module(t, safe, k.image(t, 0, nil))
	if got := b.ask(packet(2, key(kitNumber, lampNumber)...)); !bytes.Contains(got, packet(0x82)) {
		t.Fatalf("%v: the module did not enter: %x", k, got)
	}
	return b
}

// While the loader runs it shows stop and turn fully and the tail in one of eight looks, by the inputs of the safe block.
func TestPlainSignals(t *testing.T) {
	const full, dim, dark = 1.0, 0.125, 0.0
	second := func(s *program.Safe) {
		s.Shared = program.Shared{Used: true, From: 0, As: 4} // tail and stop on in1: the stop is read as in5
		s.Stop = 1 << 4
	}
	stopTurn := func(s *program.Safe) {
		s.StopTurn[1] = program.StopTurn{Used: true, Wire: 3, Reference: 1, Turn: 5} // stop and turn on in4: the turn is read as in6
		s.TurnA = 1 << 5
	}
	inverted := func(s *program.Safe) { s.Invert = 1 << (stopIn - 1) }
	for name, c := range map[string]struct {
		change           func(*program.Safe)
		pressed          []int
		stop, tail, turn float64
	}{
		"nothing":                      {nil, nil, dark, dark, dark},
		"stop":                         {nil, []int{stopIn}, full, dark, dark},
		"tail":                         {nil, []int{tailIn}, dark, dim, dark},
		"turn":                         {nil, []int{turnIn}, dark, dark, full},
		"all":                          {nil, []int{stopIn, tailIn, turnIn}, full, dim, full},
		"stop by a wire that goes low": {inverted, nil, full, dark, dark},
		"not pressed, and high":        {inverted, []int{stopIn}, dark, dark, dark},
		"one wire for tail and stop":   {second, []int{tailIn}, full, dim, dark},
		"the stop's own input is none": {second, []int{5}, dark, dark, dark},
		"one wire for stop and turn":   {stopTurn, []int{4}, dark, dark, full},
		"stop on in8":                  {func(s *program.Safe) { s.Stop = 1 << 7 }, []int{8}, full, dark, dark},
		"in7 is another":               {func(s *program.Safe) { s.Stop = 1 << 7 }, []int{7}, dark, dark, dark},
		"its reference too":            {stopTurn, []int{4, stopIn}, full, dark, full},
	} {
		for _, k := range kinds {
			if k.core == "pins" && len(c.pressed) == 1 && c.pressed[0] > 6 {
				continue // it has six inputs
			}
			t.Run(fmt.Sprintf("%s, %v", name, k), func(t *testing.T) {
				safe, _ := k.safe(t, 40, c.change)
				b := k.enter(t, safe)
				for _, in := range c.pressed {
					b.press(in, true)
				}
				b.run(10 * time.Millisecond)
				want := make([]float64, 64)
				for outputs, share := range map[[2]int]float64{[2]int(stopOut): c.stop, [2]int(tailOut): c.tail, [2]int(turnOut): c.turn} {
					for _, o := range outputs {
						want[o] = share
					}
				}
				for o, share := range b.light(40 * time.Millisecond) { // ten times eight looks
					if d := share - want[o]; d > 0.01 || d < -0.01 {
						t.Errorf("output %d shines %.1f %% of the time, not %.1f %%", o+1, 100*share, 100*want[o])
					}
				}
				for _, in := range c.pressed {
					b.press(in, false)
				}
				b.sound()
			})
		}
	}
}

// Four equal looks in a row, half a millisecond apart: what is shorter does nothing.
func TestSpikesDoNothing(t *testing.T) {
	for _, k := range kinds[1:] {
		safe, _ := k.safe(t, 40, nil)
		b := k.enter(t, safe)
		b.do("watch %x", mask(stopOut))
		for range 50 {
			b.do("later 100 %d 1", stopIn-1)
			b.do("later 1500 %d 0", stopIn-1) // 1.4 ms: three looks at most
			b.run(7 * time.Millisecond)
			b.ask(readPacket(0, 1))
			if s := b.state(); s.latency != 0 {
				t.Fatalf("%v: a spike of 1.4 ms lit the stop", k)
			}
		}
		b.sound()
	}
}

// darkest lets time pass and gives the longest in it that the watched outputs were not all lit, to a step.
func (b *bench) darkest(length time.Duration) (worst time.Duration) {
	const step = 250 * time.Microsecond
	dark := time.Duration(0)
	for range length / step {
		b.run(step)
		if dark += step; b.state().lit >= 0 {
			dark = 0
		}
		worst = max(worst, dark)
	}
	return worst
}

// A stop that is held stays lit while the loader takes over, and is dark for no longer than a restart takes when it leaves: about 1 ms
// until the processor runs (data sheet, this start-up fuse), its filter, and the first refreshes.
func TestStopIsHeld(t *testing.T) {
	const takeOver, restart = 500 * time.Microsecond, 6 * time.Millisecond
	for _, k := range kinds {
		safe, _ := k.safe(t, 40, nil)
		b := k.module(t, safe, k.image(t, 0, nil))
		b.press(stopIn, true)
		b.run(40 * time.Millisecond)
		b.do("watch %x", mask(stopOut))
		b.do("send %x", packet(2, key(kitNumber, lampNumber)...))
		if dark := b.darkest(60 * time.Millisecond); dark > takeOver {
			t.Errorf("%v: dark for %v while the loader takes over", k, dark)
		}
		b.do("get 1000")
		if got := b.ask(readPacket(0, 1)); len(got) == 0 {
			t.Errorf("%v: the loader does not run", k)
		}
		b.do("send %x", packet(5))
		dark := b.darkest(200 * time.Millisecond)
		if s := b.sound(); s.restarts != 1 || s.lit < 0 || dark == 0 || dark > restart {
			t.Errorf("%v: dark for %v at the restart; %+v", k, dark, s)
		}
	}
}
