package measure

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"lampwright/board"
	"lampwright/car"
	"lampwright/compile"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/proof"
	"lampwright/script"
	"lampwright/units"
)

// Course is a lamp on both cores in a car that does something: how soon it answers, and whether it is as steady as its wire is meant.
type Course struct {
	Name    string
	On      spread  // from the wire's edge, or the return of the supply, to the begin of the first refresh in which the lamp shines
	Off     spread  // from the release to the begin of the first refresh in which it is dark
	Gaps    int     // refreshes without light, of either module, between the first light and the release
	Unasked int     // refreshes with light outside of any press and the time for its release
	Asleep  float64 // share of the time
	Writes  int     // of the memory of a module, most of either
	goal    time.Duration
}

const (
	carPresses = 40
	carHeld    = 90 * time.Millisecond
	carPause   = 80 * time.Millisecond
	carGone    = 30 * time.Millisecond // from the release to dark
	carStart   = 400 * time.Millisecond
	carBack    = 20 * time.Millisecond   // from the supply to stop and turn
	carAsleep  = 1300 * time.Millisecond // from press to press of a module that sleeps between them
)

// carJob is a pair of lamps, one on each core, whose pieces are replaced: turn on 1..4, stop on 5..8, tail on 9..12.
const carJob = `lampwright: 1
job: {title: Measured car, use: show-only}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds:
      - row: {name: arrow, from: [0, 0], to: [110, 0], count: 4, group: each, part: amber-590}
      - row: {name: block, from: [0, 30], to: [110, 30], count: 4, group: each, part: red-622}
      - row: {name: edge, from: [0, 60], to: [110, 60], count: 4, group: each, part: red-small}
  tail-rh: {opposite-hand-of: tail-lh}
modules:
  chain: {board: chain-16, lamp: tail-lh, wiring: {arrow: 1..4, block: 5..8, edge: 9..12}, fed: {fuse: F3}}
  pins: {board: pins, lamp: tail-rh, wiring: {arrow: 1..4, block: 5..8, edge: 9..12}, fed: {fuse: F3}}
guard: {halve-above: 17 V}
inputs:
  tail: {wire: [chain.in1, pins.in1]}
  stop: {wire: [chain.in2, pins.in2]}
  turn-lh: {wire: chain.in3}
  turn-rh: {wire: pins.in3}
routines:
  out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard, for: 150 ms, edge: 10 mm}}]}
  full: {strokes: [{hold: {on: block}}]}
  dim: {strokes: [{hold: {on: edge, light: 40 %}}]}
signals:
  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: out, pace: flasher}
  - turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: out, pace: flasher}
  - stop: {input: stop, takes: block, stay: full}
  - tail: {input: tail, takes: edge, stay: dim}
`

var (
	carArrow = maskOf(0, 1, 2, 3)
	carBlock = maskOf(4, 5, 6, 7)
	carEdge  = maskOf(8, 9, 10, 11)
)

// drive plays a script on the car with pieces of its text replaced, and compares every word with the engine's.
func (r Rig) drive(ctx context.Context, supply units.Voltage, words string, pairs ...string) (*proof.Log, error) {
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(carJob, pairs[i]) {
			return nil, fmt.Errorf("the measured car does not say %q", pairs[i])
		}
	}
	k, list := kit.Parse("car.yaml", []byte(strings.NewReplacer(pairs...).Replace(carJob)), kit.NoFiles)
	if k == nil {
		return nil, fmt.Errorf("the job to be measured is faulty: %v", list)
	}
	result, list := compile.Compile(k, compile.Options{})
	if list.HasErrors() {
		return nil, fmt.Errorf("the job to be measured is refused: %v", list)
	}
	s, list := script.ParseIn("measured", []byte(words), car.Names(k))
	if list.HasErrors() {
		return nil, fmt.Errorf("the script to be measured is faulty: %v", list)
	}
	line := s.Timeline(1)
	setups, err := proof.Trial{Kit: k, Compiled: result, Line: line, Wires: feed.Conditions{Supply: supply, Seed: 1},
		Length: time.Duration(line.End())*time.Microsecond + carPause, Cache: r.Cache}.Setups()
	if err != nil {
		return nil, err
	}
	log, err := proof.Run(ctx, setups[0])
	if err != nil {
		return nil, err
	}
	for i, m := range log.Modules {
		if len(m.Misdeeds) > 0 {
			return nil, fmt.Errorf("module %s, cycle %d: %v", m.Name, m.Misdeeds[0].Cycle, m.Misdeeds[0].Kind)
		}
		if err := sameAsEngine(log, i); err != nil {
			return nil, err
		}
	}
	return log, nil
}

// hold is a time for which a lamp is asked for.
type hold struct{ from, to time.Duration }

func (h hold) word(of string) string {
	return fmt.Sprintf("%s@%dus..%dus", of, h.from/time.Microsecond, h.to/time.Microsecond)
}

// presses gives presses at odd times, so that refreshes, frames and pulses stand at any phase to them.
func presses(n int, held, pause time.Duration) (all []hold) {
	random := dice(21)
	at := carStart
	for range n {
		at += within(random, 20*time.Millisecond).Truncate(time.Microsecond)
		all = append(all, hold{at, at + held})
		at += held + pause
	}
	return all
}

func wordsOf(of string, all []hold) string {
	var words []string
	for _, h := range all {
		words = append(words, h.word(of))
	}
	return strings.Join(words, " ")
}

// see adds what a lamp made of its presses. shines tells whether it does in a whole refresh.
func (c *Course) see(m *proof.ModuleLog, all []hold, lamp mask, shines func(proof.Refresh) bool) error {
	i := 1
	for n, h := range all {
		for ; i < len(m.Refreshes) && m.At(begins(m, i)) < h.from; i++ {
			r := m.Refreshes[i]
			if (n == 0 || m.Since(r) > all[n-1].to+carGone) && !lamp.dark(r) {
				c.Unasked++
			}
		}
		for i < len(m.Refreshes) && !shines(m.Refreshes[i]) {
			i++
		}
		if i == len(m.Refreshes) || m.At(begins(m, i)) > h.to {
			return fmt.Errorf("%s: module %s is not lit between %v and %v", c.Name, m.Name, h.from, h.to)
		}
		c.On.add(max(m.At(begins(m, i))-h.from, 0))
		for ; i < len(m.Refreshes) && m.At(begins(m, i)) < h.to; i++ {
			if r := m.Refreshes[i]; r.Whole && !shines(r) {
				c.Gaps++
			}
		}
		for i < len(m.Refreshes) && !lamp.dark(m.Refreshes[i]) {
			i++
		}
		if i == len(m.Refreshes) {
			return fmt.Errorf("%s: module %s is never dark again", c.Name, m.Name)
		}
		c.Off.add(m.At(begins(m, i)) - h.to)
	}
	c.Asleep = m.Load.DownShare()
	return nil
}

// bright tells whether every output of the set shines in all planes of a whole refresh. The slot of the lowest bits, which both cores
// send second, is dark in some refreshes even at full duty.
func (m mask) bright(r proof.Refresh) bool {
	if len(r.Slots) > 1 {
		r.Slots = slices.Delete(slices.Clone(r.Slots), 1, 2)
	}
	return m.full(r)
}

// lit gives what a lamp is when it shines: with any light, or fully.
func lit(lamp mask, fully bool) func(proof.Refresh) bool {
	if fully {
		return lamp.full
	}
	return func(r proof.Refresh) bool { return r.Whole && !lamp.dark(r) }
}

// countAddress is the low byte of the count of writes: docs/engine.md, section 5.
const countAddress = 8

// Figures gives a course as figures.
func (c Course) Figures() []Figure {
	goal := Goal{}
	if c.goal > 0 {
		goal = atMost(inMS(c.goal))
	}
	var list []Figure
	if c.On.N > 0 {
		list = append(list, Figure{c.Name + ": to its light, longest", inMS(c.On.Max), fmt.Sprintf("ms of %d", c.On.N), goal})
	}
	if c.Off.N > 0 {
		list = append(list, Figure{c.Name + ": release to dark, longest", inMS(c.Off.Max), "ms", atMost(inMS(carGone))},
			Figure{c.Name + ": lit unasked", float64(c.Unasked), "refreshes", none})
	}
	list = append(list, Figure{c.Name + ": without light in between", float64(c.Gaps), "refreshes", none})
	if c.Asleep > 0 {
		list = append(list, Figure{c.Name + ": share of the time asleep", 100 * c.Asleep, "%", Goal{}})
	}
	return list
}

// TurnFedFigures gives what TurnFed measured.
func (c Course) TurnFedFigures() []Figure {
	return []Figure{
		{c.Name + ": sweep ends before the click, most, from the third flash on", inMS(c.On.Max), fmt.Sprintf("ms of %d flashes", c.On.N), atMost(turnFedGoalMS)},
		{c.Name + ": memory written in six uses of the lever", float64(c.Writes), "times", atMost(1)},
	}
}

const turnFedGoalMS = 15.0

// Drains gives what the smallest and largest boards take from the battery asleep, by the highest figures of their budgets.
func Drains() (list []Figure) {
	for _, b := range board.All() {
		if b.Registers != 1 && b.Registers != program.MaxRegisters && b.Core != board.CorePins {
			continue
		}
		list = append(list, Figure{"asleep, from a battery of 12.6 V, " + b.Name, 1000 * float64(b.Asleep()), "mA", atMost(1000 * float64(board.AsleepGoal))})
	}
	return list
}
