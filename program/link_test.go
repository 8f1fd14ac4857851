package program

import (
	"fmt"
	"math"
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

// linkedModule is a module with stop on in2 and, on in3, a linked show of some ticks.
func linkedModule(tb testing.TB, role LinkRole, ticks int) *Engine {
	tb.Helper()
	p := &Program{Registers: 2, Link: role, Layers: []Layer{
		{Fast: true, Pace: -1, InputMask: 2, Slots: upTo(4), Still: fullLevels(4)},
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

// shownTick gives the show's tick in the frame now shown: the frame job that is one frame ahead has moved on, so it is
// asked before.
func (s *station) step(in uint8, high bool, loop int) {
	pos, live := s.pos, s.e.shown.phases[1] == Stay
	next := int(s.e.players[0].pos) // what the pending frame will show
	s.pulled = s.e.shown.pull
	s.e.Step(in, high)
	s.start += s.refresh
	if s.e.phase != 0 || s.e.shown.phases[1] != Stay {
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

// skew runs a leader and a follower with clocks off by ppm each way and gives the worst difference, in seconds, between
// the moments at which they first show a tick, after a settling time.
func skew(tb testing.TB, ticks int, ppm float64, offset float64, settle, length float64) float64 {
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
		if at >= press {
			in = 4
		}
		high := !lead.e.Shown().Pull
		if at < lead.start { // the refresh before is still on the wire
			high = !lead.pulled
		}
		s.step(in, high, ticks)
		if s.e.phase != 0 || s.e.shown.phases[1] != Stay {
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
				worst = max(worst, math.Abs(o-s.start))
			}
		}
	}
	return worst
}

func TestLinkScan(t *testing.T) {
	for _, ticks := range []int{375, 437, 500, 625, 1000, 1333, 2500, 5000} {
		for _, ppm := range []float64{-5000, 0, 5000} {
			for _, off := range []float64{0, 0.0021} {
				loop := float64(ticks) * 0.004
				w1 := skew(t, ticks, ppm, off, loop, max(3*loop, 12))
				w2 := skew(t, ticks, ppm, off, 2*loop, max(3*loop, 12))
				fmt.Printf("%5d ticks %6.0f ppm off %.4f: after one loop %5.2f ms, after two %5.2f\n", ticks, ppm, off, w1*1000, w2*1000)
			}
		}
	}
}
