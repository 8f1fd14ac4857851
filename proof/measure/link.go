package measure

import (
	"context"
	"errors"
	"fmt"
	"math/bits"
	"time"

	"lampwright/program"
	"lampwright/proof"
)

// Skew is how far apart two modules on a link wire first show the same tick of a show.
type Skew struct {
	LoopTicks int
	ClocksPPM float64       // the leader's clock is off by so much, the follower's by as much the other way
	Wire      bool          // false: the wire is open, to see what the measure makes of two clocks on their own
	First     time.Duration // greatest skew in the first loop
	Later     time.Duration // greatest skew after it
	Ticks     int           // that were compared after the first loop
}

const (
	skewLength = 18 * time.Second
	skewPress  = 300 * time.Millisecond
	skewGoalMS = 5.0
	countBits  = 10
)

// counter makes a show that says which tick it is: its outputs hold the tick's number in Gray code, so that each tick changes
// one output and nothing fades.
func counter(ticks int) (*program.Routine, error) {
	var c program.Coder
	c.Over(0)
	gray := func(n int) int { return n ^ n>>1 }
	for tick := range ticks {
		if tick > 0 {
			b := bits.TrailingZeros(uint(gray(tick) ^ gray(tick-1)))
			level := uint8(0)
			if gray(tick)>>b&1 == 1 {
				level = program.FullLevel
			}
			c.Fade(b, level)
		}
		c.Wait(1)
	}
	return c.Again()
}

func fromGray(g int) (n int) {
	for ; g > 0; g >>= 1 {
		n ^= g
	}
	return n
}

// linked is a module with signals on its first 16 outputs and a linked counter on the last 8 and the 8 before.
func linked(role program.LinkRole, ticks int) (*unit, error) {
	show, err := counter(ticks)
	if err != nil {
		return nil, err
	}
	return plain("chain-32", func(p *program.Program) {
		p.Link = role
		slots := upTo(32)[32-countBits:]
		for i := range p.Layers { // the counter's outputs belong to no signal
			l := &p.Layers[i]
			for k := 0; k < len(l.Slots); k++ {
				if l.Slots[k] >= 32-countBits {
					l.Slots, l.Still = append(l.Slots[:k:k], l.Slots[k+1:]...), append(l.Still[:k:k], l.Still[k+1:]...)
					k--
				}
			}
		}
		p.Layers = append(p.Layers, program.Layer{Name: "counter", Show: true, Linked: role != program.NoLink, Pace: -1, InputMask: 1 << (showWire - 1), Slots: slots, Stay: show})
	})
}

// count reads the tick out of the longest word of a refresh.
func count(r proof.Refresh) int {
	word := r.Slots[len(r.Slots)-1].Word
	g := 0
	for b := range countBits {
		o := 32 - countBits + b
		g |= int(word[o/8]>>(o%8)&1) << b
	}
	return fromGray(g)
}

// Skew runs two modules whose clocks are off and compares when they first show each tick, for loops of a length.
func (r Rig) Skew(ctx context.Context, ticks int, ppm float64, wire bool) (Skew, error) {
	out := Skew{LoopTicks: ticks, ClocksPPM: ppm, Wire: wire}
	s := proof.Setup{Length: skewLength, Cache: r.Cache}
	for i, role := range []program.LinkRole{program.Leader, program.Follower} {
		u, err := linked(role, ticks)
		if err != nil {
			return out, err
		}
		u.Name = []string{"leader", "follower"}[i]
		u.ClockPPM = []float64{ppm, -ppm}[i]
		s.Modules = append(s.Modules, u.Module)
		s.Events = append(s.Events, proof.Input(skewPress, i, showWire, true), proof.LinkOpen(0, i, !wire))
	}
	log, err := proof.Run(ctx, s)
	if err != nil {
		return out, err
	}
	var seen [2]map[int]time.Duration // by tick, counted through the loops
	for i := range log.Modules {
		if err := sameAsEngine(log, i); err != nil {
			return out, err
		}
		if seen[i], err = firstShown(&log.Modules[i], ticks); err != nil {
			return out, err
		}
	}
	for tick, at := range seen[0] {
		other, ok := seen[1][tick]
		if !ok {
			continue
		}
		apart := (at - other).Abs()
		if tick <= ticks {
			out.First = max(out.First, apart)
		} else {
			out.Later = max(out.Later, apart)
			out.Ticks++
		}
	}
	if out.Ticks == 0 {
		return out, errors.New("no tick was shown by both modules")
	}
	return out, nil
}

// firstShown gives for each tick of the counter, counted through the loops, the time at which its first refresh begins. A tick
// that was passed over counts as shown with the one that came instead.
func firstShown(m *proof.ModuleLog, ticks int) (map[int]time.Duration, error) {
	seen := map[int]time.Duration{}
	total, before := 0, 0
	for i, r := range m.Refreshes {
		if !r.Whole {
			continue
		}
		now := count(r)
		if now >= ticks {
			return nil, fmt.Errorf("module %s shows tick %d of %d at %v", m.Name, now, ticks, m.Since(r))
		}
		step := now - before
		if step < -ticks/2 {
			step += ticks
		} else if step > ticks/2 {
			step -= ticks
		}
		before = now
		for ; step > 0; step-- {
			total++
			if _, known := seen[total]; !known {
				seen[total] = m.At(begins(m, i))
			}
		}
		total += step
	}
	return seen, nil
}

// Figures gives the skew as figures.
func (s Skew) Figures() []Figure {
	what := fmt.Sprintf("loop of %.1f s, clocks %+.1f and %+.1f %%", float64(s.LoopTicks)*frameTime.Seconds(), s.ClocksPPM/1e4, -s.ClocksPPM/1e4)
	goal := atMost(skewGoalMS)
	if !s.Wire {
		what += ", no wire"
		goal = Goal{}
	}
	return []Figure{
		{"skew of shown ticks after the first loop, longest, " + what, inMS(s.Later), fmt.Sprintf("ms of %d ticks", s.Ticks), goal},
		{"skew in the first loop, longest, " + what, inMS(s.First), "ms", Goal{}},
	}
}

// WireFault is a fault of the link wire.
type WireFault struct {
	Name     string
	Modules  int // 0, or the number of modules whose signals were compared
	Words    int // of signals, compared with those of a module without a link
	Differ   int // of them
	ShowMove int // words of the show that differ from those without a fault: the fault was felt
}

var wireFaults = []struct {
	name   string
	events func(at time.Duration) []proof.Event
}{
	{"none", func(time.Duration) []proof.Event { return nil }},
	{"open", func(at time.Duration) []proof.Event {
		return []proof.Event{proof.LinkOpen(at, 0, true), proof.LinkOpen(at, 1, true)}
	}},
	{"stuck low", func(at time.Duration) []proof.Event { return []proof.Event{proof.LinkWire(at, proof.WireLow)} }},
	{"shorted to supply", func(at time.Duration) []proof.Event { return []proof.Event{proof.LinkWire(at, proof.WireSupply)} }},
}

const wireLength = 9 * time.Second

// Wires breaks the link wire in every way, while stop, tail and a third signal come and go at random, and compares each signal's
// words, refresh by refresh, with those of the same module without a link.
func (r Rig) Wires(ctx context.Context) ([]WireFault, error) {
	const ticks = 500
	random := dice(77)
	var presses [2][]proof.Event
	for i := range presses {
		presses[i] = []proof.Event{proof.Input(skewPress, i, showWire, true)}
		for _, in := range []int{tailWire, stopWire, fullWire} {
			at, high := within(random, time.Second), true
			for ; at < wireLength; at, high = at+within(random, 300*time.Millisecond), !high {
				presses[i] = append(presses[i], proof.Input(at, i, in, high))
			}
		}
	}
	run := func(linkedTo [2]program.LinkRole, more []proof.Event) (*proof.Log, error) {
		s := proof.Setup{Length: wireLength, Cache: r.Cache, Events: more}
		for i, role := range linkedTo {
			u, err := linked(role, ticks)
			if err != nil {
				return nil, err
			}
			u.Name, u.ClockPPM = fmt.Sprintf("module %d", i), []float64{5000, -5000}[i]
			s.Modules = append(s.Modules, u.Module)
			s.Events = append(s.Events, presses[i]...)
		}
		log, err := proof.Run(ctx, s)
		for i := 0; err == nil && i < len(log.Modules); i++ {
			err = sameAsEngine(log, i)
		}
		return log, err
	}
	alone, err := run([2]program.LinkRole{}, nil)
	if err != nil {
		return nil, err
	}
	var signals, show mask
	for o := range uint8(32) {
		if o < 32-countBits {
			signals[o/8] |= 1 << (o % 8)
		} else {
			show[o/8] |= 1 << (o % 8)
		}
	}
	var all []WireFault
	var whole *proof.Log
	for _, f := range wireFaults {
		log, err := run([2]program.LinkRole{program.Leader, program.Follower}, f.events(2500*time.Millisecond))
		if err != nil {
			return nil, err
		}
		if whole == nil {
			whole = log
		}
		out := WireFault{Name: f.name}
		for i := range log.Modules {
			words, differ, err := compareWords(&alone.Modules[i], &log.Modules[i], signals)
			if err != nil {
				return nil, err
			}
			_, moved, err := compareWords(&whole.Modules[i], &log.Modules[i], show)
			if err != nil {
				return nil, err
			}
			out.Modules++
			out.Words += words
			out.Differ += differ
			out.ShowMove += moved
		}
		all = append(all, out)
	}
	return all, nil
}

// compareWords counts the words of two runs of a module in which a set of outputs differs.
func compareWords(a, b *proof.ModuleLog, of mask) (words, differ int, err error) {
	if len(a.Refreshes) != len(b.Refreshes) {
		return 0, 0, fmt.Errorf("module %s: %d refreshes in one run, %d in the other", a.Name, len(a.Refreshes), len(b.Refreshes))
	}
	for i := range a.Refreshes {
		x, y := a.Refreshes[i], b.Refreshes[i]
		if x.Inputs != y.Inputs || len(x.Slots) != len(y.Slots) {
			return 0, 0, fmt.Errorf("module %s, refresh %d: the runs did not see the same inputs", a.Name, i)
		}
		for k := range x.Slots {
			words++
			for n, m := range of {
				if (x.Slots[k].Word[n]^y.Slots[k].Word[n])&m != 0 {
					differ++
					break
				}
			}
		}
	}
	return words, differ, nil
}

// Figures gives the fault as figures.
func (w WireFault) Figures() []Figure {
	return []Figure{{"signal words that differ, link wire: " + w.Name, float64(w.Differ), fmt.Sprintf("of %d", w.Words), none}}
}
