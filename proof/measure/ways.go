package measure

import (
	"context"
	"fmt"
	"strings"
	"time"

	"lampwright/proof"
	"lampwright/units"
)

// FactoryWires measures stop and tail on the wires of factory cars (common practice, no source, for what they do).
func (r Rig) FactoryWires(ctx context.Context) (all []Course, err error) {
	type wireCase struct {
		name, press string
		lamp        mask
		fully       bool
		supply      units.Voltage
		goal        time.Duration
		pairs       []string
	}
	const stopKey, tailKey = "stop: {wire: [chain.in2, pins.in2]", "tail: {wire: [chain.in1, pins.in1]"
	const soon = stopGoalMS * time.Millisecond
	stop := func(name, of string, supply units.Voltage, goal time.Duration) wireCase {
		return wireCase{"stop wire " + name, "stop", carBlock, true, supply, goal, []string{stopKey, stopKey + ", feed: {" + of + "}"}}
	}
	cases := []wireCase{
		stop("tested by 2.5 ms every 10 ms", "kind: steady, test-pulse: {width: 2.5 ms, every: 10 ms}", 13.5, soon),
		stop("chopped 90 % at 100 Hz, tested by 0.3 ms", "kind: steady, chopped: {above: 13.2 V, duty: 90 %, at: 100 Hz}, test-pulse: {width: 0.3 ms, every: 100 ms}", 14.4, soon),
		stop("chopped 85 % at 100 Hz", "kind: steady, chopped: {above: 13.2 V, duty: 85 %, at: 100 Hz}", 14.4, 0), // no test pulses are known: seven highs and the lows between them, as the check says
	}
	for _, hz := range []int{100, 200} {
		dimmed := func(duty int) string {
			return fmt.Sprintf("%s, feed: {kind: dimmed, duty: %d %%, at: %d Hz}", tailKey, duty, hz)
		}
		for _, duty := range []int{10, 90} {
			cases = append(cases, wireCase{fmt.Sprintf("tail wire dimmed %d %% at %d Hz", duty, hz), "tail", carEdge, false, 13.5, 0, []string{tailKey, dimmed(duty)}})
		}
		cases = append(cases, wireCase{fmt.Sprintf("stop on the tail's wire, dimmed 20 %% at %d Hz", hz), "stop", carBlock, true, 13.5,
			2*time.Second/time.Duration(hz) + soon, []string{stopKey, "stop: {shares: tail", tailKey, dimmed(20)}})
	}
	for _, w := range cases {
		held := presses(carPresses, carHeld, carPause)
		words := wordsOf(w.press, held)
		if w.press == "stop" { // the tail is on meanwhile, as at night
			words += " " + hold{carStart / 2, held[len(held)-1].to}.word("tail")
		}
		log, err := r.drive(ctx, w.supply, words, w.pairs...)
		if err != nil {
			return all, fmt.Errorf("%s: %w", w.name, err)
		}
		c := Course{Name: w.name, goal: w.goal}
		for i := range log.Modules {
			if err := c.see(&log.Modules[i], held, w.lamp, lit(w.lamp, w.fully)); err != nil {
				return all, err
			}
		}
		all = append(all, c)
	}
	return all, nil
}

// Returns measures held stop and turn through what the battery does: a dip that the reservoir bridges, and supplies that are gone.
func (r Rig) Returns(ctx context.Context) (all []Course, err error) {
	for _, of := range []struct {
		name, is string
		cuts     int
	}{
		{"6.5 V for 20 ms, then 9 V for 1 s", "supply=6.5V@900ms..920ms supply=9V@920ms..1920ms", 0},
		{"supply gone for 30 to 230 ms", "battery:F3=gone", 20},
		{"supply at 5 V for 30 to 230 ms", "supply=5V", 20},
	} {
		random := dice(22)
		some := func(least, more time.Duration) time.Duration {
			return least + within(random, more).Truncate(time.Microsecond)
		}
		lives := []hold{{carStart + 400*time.Millisecond, 2 * time.Second}} // the turn has been swept
		words := of.is
		if of.cuts > 0 {
			words = ""
		}
		for n := range of.cuts {
			lives[n].to = lives[n].from + some(300*time.Millisecond, 20*time.Millisecond)
			gone := hold{lives[n].to, lives[n].to + some(30*time.Millisecond, 200*time.Millisecond)}
			words += " " + gone.word(of.is)
			lives = append(lives, hold{gone.to, gone.to + 300*time.Millisecond})
		}
		for _, in := range []string{"stop", "turn-lh", "turn-rh"} {
			words += " " + hold{carStart, lives[of.cuts].to + carPause}.word(in)
		}
		log, err := r.drive(ctx, 13.5, words)
		if err != nil {
			return all, fmt.Errorf("%s: %w", of.name, err)
		}
		c := Course{Name: "held stop and turn, " + of.name, goal: carBack}
		for i := range log.Modules {
			m := &log.Modules[i]
			if starts := len(m.Boots) - 1; starts != of.cuts {
				return all, fmt.Errorf("%s: module %s started %d times more, not %d", of.name, m.Name, starts, of.cuts)
			}
			if err := c.lives(m, lives); err != nil {
				return all, err
			}
		}
		all = append(all, c)
	}
	return all, nil
}

// lives adds how soon after each return of its supply a module shows the stop and the turn that are held, and whether it goes on so.
func (c *Course) lives(m *proof.ModuleLog, lives []hold) error {
	both := maskOf(0, 1, 2, 3, 4, 5, 6, 7)
	i := 1
	for n, life := range lives {
		for i < len(m.Refreshes) && (m.At(begins(m, i)) < life.from || !both.bright(m.Refreshes[i])) {
			i++
		}
		if i == len(m.Refreshes) {
			return fmt.Errorf("%s: module %s is not lit after %v", c.Name, m.Name, life.from)
		}
		if n > 0 {
			c.On.add(m.At(begins(m, i)) - life.from)
		}
		for ; i < len(m.Refreshes) && m.Since(m.Refreshes[i]) < life.to; i++ {
			if r := m.Refreshes[i]; r.Whole && !both.bright(r) {
				c.Gaps++
			}
		}
	}
	return nil
}

// Sleeper measures a stop that wakes a sleeping module.
func (r Rig) Sleeper(ctx context.Context) (Course, error) {
	held := presses(carPresses, carHeld, carAsleep)
	log, err := r.drive(ctx, 12.6, wordsOf("stop", held), "guard: {", "guard: {sleep-after: 1 s, ")
	c := Course{Name: "stop from sleep", goal: stopGoalMS * time.Millisecond}
	if err != nil {
		return c, err
	}
	for i := range log.Modules {
		m := &log.Modules[i]
		sleeps := 0
		for _, refresh := range m.Refreshes {
			sleeps += refresh.Sleeps
		}
		if sleeps < carPresses-1 {
			return c, fmt.Errorf("module %s slept %d times, before %d presses", m.Name, sleeps, carPresses)
		}
		if err := c.see(m, held, carBlock, carBlock.full); err != nil {
			return c, err
		}
	}
	return c, nil
}

// ToldApart measures stop and turn on one wire, with a clean stop wire as reference.
func (r Rig) ToldApart(ctx context.Context) (all []Course, err error) {
	pairs := []string{"turn-lh: {wire: chain.in3}", "turn-lh: {wire: chain.in3, carries-stop: {reference: stop}}",
		"turn-rh: {wire: pins.in3}", "turn-rh: {wire: pins.in3, carries-stop: {reference: stop}}"}
	for _, of := range []struct {
		name    string
		presses []string
		lamp    mask
		fully   bool
		held    []hold
		goal    time.Duration
	}{
		{"stop, told from a turn on its wire", []string{"stop"}, carBlock, true, presses(carPresses, carHeld, carPause), stopGoalMS * time.Millisecond},
		{"turn, told from a brake on its wire", []string{"turn-lh", "turn-rh"}, carArrow, false, presses(carPresses, 330*time.Millisecond, 700*time.Millisecond), 0},
	} {
		var words []string
		for _, in := range of.presses {
			words = append(words, wordsOf(in, of.held))
		}
		log, err := r.drive(ctx, 13.5, strings.Join(words, " "), pairs...)
		if err != nil {
			return all, fmt.Errorf("%s: %w", of.name, err)
		}
		c := Course{Name: of.name, goal: of.goal}
		for i := range log.Modules {
			if err := c.see(&log.Modules[i], of.held, of.lamp, lit(of.lamp, of.fully)); err != nil {
				return all, err
			}
		}
		all = append(all, c)
	}
	return all, nil
}

// TurnFed measures modules that are fed by their turn wires alone, in uses of the lever of five flashes of 333 ms, each with a sixth in
// which it is let go: On is how long before the click the sweep is at its end, from the third flash on; and how often their memory was
// written meanwhile.
func (r Rig) TurnFed(ctx context.Context) (Course, error) {
	c := Course{Name: "fed by the turn wire alone"}
	const uses, flashes, length, on, letGo, pause = 6, 5, 667 * time.Millisecond, 333 * time.Millisecond, 170 * time.Millisecond, 1500 * time.Millisecond
	var held, whole []hold
	for from := carStart; len(held) < uses*(flashes+1); from += pause {
		for range flashes {
			whole = append(whole, hold{from, from + on})
			held = append(held, whole[len(whole)-1])
			from += length
		}
		held = append(held, hold{from, from + letGo})
		from += letGo
	}
	log, err := r.drive(ctx, 13.5, wordsOf("turn-lh", held)+" "+wordsOf("turn-rh", held),
		"edge: 9..12}, fed: {fuse: F3}}\n  pins", "edge: 9..12}, fed: {only: turn-lh}}\n  pins",
		"edge: 9..12}, fed: {fuse: F3}}\nguard", "edge: 9..12}, fed: {only: turn-rh}}\nguard",
		"  - stop: {input: stop, takes: block, stay: full}\n  - tail: {input: tail, takes: edge, stay: dim}\n", "",
		"  tail: {wire: [chain.in1, pins.in1]}\n  stop: {wire: [chain.in2, pins.in2]}\n", "")
	if err != nil {
		return c, err
	}
	for i := range log.Modules {
		m := &log.Modules[i]
		writes, at := 0, 1
		for _, refresh := range m.Refreshes {
			for _, kept := range refresh.Kept {
				if kept.Address == countAddress {
					writes++
				}
			}
		}
		c.Writes = max(c.Writes, writes)
		for _, h := range whole[2:] {
			for at < len(m.Refreshes) && (m.Since(m.Refreshes[at]) < h.from || !carArrow.bright(m.Refreshes[at])) {
				at++
			}
			if at == len(m.Refreshes) || m.Since(m.Refreshes[at]) > h.to {
				return c, fmt.Errorf("%s: module %s: no full sweep in the flash at %v", c.Name, m.Name, h.from)
			}
			c.On.add(h.to - m.At(begins(m, at)))
		}
	}
	return c, nil
}
