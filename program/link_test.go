package program

import (
	"math"
	"math/rand/v2"
	"testing"
)

// rampShow is a linked show of some ticks over 8 outputs, in which each tick has light of its own.
func rampShow(tb testing.TB, ticks int) *Routine {
	tb.Helper()
	var c Coder
	for left := ticks; left > 0; {
		over := min(left, 200)
		c.Over(over)
		c.Span(0, 8, uint8(left%250+5))
		c.Wait(over)
		left -= over
	}
	r, err := c.Again()
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// rampOnce lights four outputs one after the other.
func rampOnce(tb testing.TB) *Routine {
	tb.Helper()
	var c Coder
	c.Over(20)
	c.Loop(4, 1)
	c.Fade(0, 250)
	c.Wait(10)
	c.Close()
	r, err := c.End()
	if err != nil {
		tb.Fatal(err)
	}
	return r
}

// linkedModule is a module with stop on in2, turn on in4 and, on in3, a linked show of some ticks.
func linkedModule(tb testing.TB, role LinkRole, ticks int) *Engine {
	tb.Helper()
	p := &Program{Registers: 2, Link: role, PacerInput: [2]uint8{8}, Layers: []Layer{
		{Fast: true, Pace: -1, InputMask: 2, Slots: upTo(4), Still: fullLevels(4)},
		{Pace: 0, InputMask: 8, Slots: upTo(8)[4:], Arrive: rampOnce(tb), Stay: rampOnce(tb), Leave: rampOnce(tb)},
		{Show: true, Linked: true, Pace: -1, InputMask: 4, Slots: upTo(16)[8:], Stay: rampShow(tb, ticks)},
	}}
	s := &Safe{Registers: 2, Stop: 2}
	s.StopOut[0] = 0x0F
	for i := range s.On {
		s.On[i], s.Off[i] = 7, 16
	}
	e, err := NewEngineFor(p, s)
	if err != nil {
		tb.Fatal(err)
	}
	return e
}

// station is a module on the simulated wire, with a clock of its own.
type station struct {
	e       *Engine
	refresh float64 // seconds, true time
	start   float64 // true time at which the refresh now shown began
	ticks   int     // of the show since its first start, counted through the loops
	pos     int
	pulled  bool // the module pulled the wire in the refresh before
}

// sampleAt gives the true time of the sample of the refresh now shown: late in it.
func (s *station) sampleAt() float64 { return s.start + 0.9*s.refresh }

// step ends the refresh now shown and counts the show's ticks. The player is one frame ahead of what is shown, so it is
// asked before.
func (s *station) step(in uint8, high bool, loop int) {
	pos, live := s.pos, s.e.shown.phases[2] == Stay
	next := int(s.e.players[1].pos) // what the pending frame will show
	s.pulled = s.e.shown.pull
	s.e.Step(in, high)
	s.start += s.refresh
	if s.e.phase != 0 || s.e.shown.phases[2] != Stay {
		return
	}
	if !live {
		s.ticks, s.pos = next, next
		return
	}
	delta := next - pos
	if delta < -loop/2 {
		delta += loop
	} else if delta > loop/2 {
		delta -= loop
	}
	s.ticks += delta
	s.pos = next
}

// cut tells skew to leave the wire out.
var cut bool

// skew runs a leader and a follower with clocks off by ppm each way and gives the worst difference, in seconds, between
// the moments at which they first show a tick, after a settling time. The follower's power comes offset, its press late,
// seconds after the leader's.
func skew(tb testing.TB, ticks int, ppm, offset, late, settle, length float64) float64 {
	lead := &station{e: linkedModule(tb, Leader, ticks), refresh: 0.0005 * (1 + ppm/1e6)}
	follow := &station{e: linkedModule(tb, Follower, ticks), refresh: 0.0005 * (1 - ppm/1e6), start: offset}
	shown := map[*station]map[int]float64{lead: {}, follow: {}}
	const press = 0.3 // seconds
	worst, begun := 0.0, math.Inf(1)
	for lead.start < press+length {
		s := lead
		if follow.sampleAt() < lead.sampleAt() {
			s = follow
		}
		at := s.sampleAt()
		in := uint8(0)
		if at >= press+late || s == lead && at >= press {
			in = 4
		}
		high := cut || !lead.e.Shown().Pull
		if at < lead.start { // the refresh before is still on the wire
			high = cut || !lead.pulled
		}
		s.step(in, high, ticks)
		if s.e.phase != 0 || s.e.shown.phases[2] != Stay {
			continue
		}
		if begun > s.start {
			begun = s.start
		}
		for t := s.ticks; t > 0; t-- { // ticks passed over in this frame count as shown with it
			if _, known := shown[s][t]; known {
				break
			}
			shown[s][t] = s.start
			other := lead
			if s == lead {
				other = follow
			}
			if o, known := shown[other][t]; known && min(o, s.start) > begun+settle {
				loop := 8 * lead.refresh * float64(ticks)
				apart := math.Mod(math.Abs(o-s.start), loop) // a late follower is whole loops behind
				worst = max(worst, min(apart, loop-apart))
			}
		}
	}
	return worst
}

// linkBound is how far apart, in seconds, two modules may show the same tick.
const linkBound = 0.005

// Two modules that see the same press are in step after the first loop, with clocks off by up to half a per cent either
// way (what ceramic resonators hold; common practice, no source).
func TestLinkInStep(t *testing.T) {
	for _, ticks := range []int{375, 437, 500, 501, 625, 999, 1333, 2500, 4990, 5000} {
		for _, ppm := range []float64{-5000, -1200, 0, 3000, 5000} {
			for _, offset := range []float64{0, 0.0013, 0.0031} {
				loop := float64(ticks) * 0.004
				if worst := skew(t, ticks, ppm, offset, 0, loop, max(2.5*loop, 9)); worst > linkBound {
					t.Errorf("%d ticks, clocks off by %.0f ppm, follower on %.4f s later: ticks %.2f ms apart after the first loop", ticks, ppm, offset, worst*1000)
				}
			}
		}
	}
}

// A follower that begins its show at another time (its input was pressed, or its power came, later) is brought in step by
// the next start of a loop, and has learnt the clocks one loop and a second later.
func TestLinkLateStart(t *testing.T) {
	for _, ticks := range []int{375, 625, 1333, 2500} {
		for _, ppm := range []float64{-5000, 5000} {
			for _, late := range []float64{0.03, 0.2, 0.45, 0.8, 1.1} {
				loop := float64(ticks) * 0.004
				if worst := skew(t, ticks, ppm, 0, late, 3*loop+1, 5*loop+3); worst > linkBound {
					t.Errorf("%d ticks, clocks off by %.0f ppm, follower %.2f s late: ticks %.2f ms apart", ticks, ppm, late, worst*1000)
				}
			}
		}
	}
}

// TestLinkSkewIsMeasured shows that the measure sees what it should: without the wire the clocks drift apart.
func TestLinkSkewIsMeasured(t *testing.T) {
	cut = true
	defer func() { cut = false }()
	if worst := skew(t, 500, 5000, 0, 0, 2, 9); worst < 0.05 || worst > 0.1 {
		t.Errorf("ticks are %.1f ms apart after 9 s with clocks 1 %% apart and no wire", worst*1000)
	}
}

// Signals never look at the link: whatever the wire does, open (it reads high), stuck low, stuck high or noise, the bytes of
// the signals' register are the same.
func TestLinkNeverTouchesSignals(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 9))
	modules := map[string]*Engine{}
	for _, wire := range []string{"high", "low", "noise", "marks"} {
		modules[wire] = linkedModule(t, Follower, 500)
	}
	in, differs := uint8(0), false
	for r := range 60_000 {
		if r%97 == 0 {
			in = uint8(random.IntN(256)) & (2 | 4 | 8)
		}
		wires := map[string]bool{"high": true, "low": false, "noise": random.IntN(3) > 0, "marks": r%1700 > 32 && r%900 > 16}
		want := modules["high"].Words()
		for wire, e := range modules {
			words := e.Words()
			for k := range words {
				if words[k][0] != want[k][0] {
					t.Fatalf("refresh %d, wire %s, slot %d: signals show %08b, with a free wire %08b", r, wire, k, words[k][0], want[k][0])
				}
				differs = differs || words[k][1] != want[k][1]
			}
		}
		for wire, e := range modules {
			e.Step(in, wires[wire])
		}
	}
	if !differs {
		t.Error("the marks did not even move the show: nothing was tested")
	}
}
