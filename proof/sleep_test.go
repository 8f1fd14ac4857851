package proof_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

const (
	sleepAfter = 1024 * ms // four units of 64 frames, the first that are not less than a second
	// wakes is what waking adds: 16 384 cycles in which the crystal starts (ATmega328P data sheet, full swing crystal oscillator), and what
	// is left of the refresh in which the module fell asleep.
	wakes = 1024*us + refresh
)

func sleepy() []string {
	return []string{"guard: {shows-above: 11.8 V,", "guard: {sleep-after: 1 s, shows-above: 11.8 V,"}
}

// A stop is full within 5 ms of its edge while the module sleeps, at any phase, and also when the edge comes as it falls asleep; everything
// is dark while it does, and it sleeps again and again.
func TestStopFromSleep(t *testing.T) {
	t.Parallel()
	k, r := aCar(t, sleepy()...)
	random := rand.New(rand.NewPCG(5, 9))
	var words []string
	at := time.Second
	for n := range 40 {
		held := 60*ms + time.Duration(random.IntN(4000))*us
		words = append(words, fmt.Sprintf("stop@%dus..%dus", at/us, (at+held)/us))
		at += held
		if n < 20 { // fast asleep
			at += sleepAfter + 150*ms + time.Duration(random.IntN(9000))*us
		} else { // about to fall asleep: filters, the frames under way, and the count
			at += sleepAfter + 12*ms + time.Duration(n-20)*500*us + time.Duration(random.IntN(500))*us
		}
	}
	presses := strings.Join(words, " ")
	line := conditions(t, presses)
	driven(t, func(t *testing.T, drive drive) {
		stop := [2]wire{{spans: line.Spans("stop"), never: true}, {spans: line.Spans("stop"), never: true}}
		count := tally{}
		sleeps := [2]int{}
		drive(t, k, r, presses, func(i int, v seen) {
			sleeps[i] += v.sleeps
			w := &stop[i]
			w.to(v.at)
			switch {
			case w.held(v.at+refresh, stopLatency):
				if count["stop"]++; carBlock&^v.full != 0 {
					t.Errorf("module %d at %v, %v after the press: full are %03x", i, v.at, v.at-w.since, v.full)
				}
			case w.gone(v.at, release):
				if count["none"]++; v.lit != 0 {
					t.Errorf("module %d at %v: lit are %03x", i, v.at, v.lit)
				}
			}
		})
		count.least(t, 40*2*100, "stop", "none")
		if strings.Contains(t.Name(), "HEX") && (sleeps[0] < 25 || sleeps[1] < 25) {
			t.Errorf("they slept only %v times", sleeps)
		}
	})
}

// A locked car, asleep, with its key off: the flashes of its lock, its hazard warning and its brake come as ever, each flash from its edge.
func TestLockedCar(t *testing.T) {
	t.Parallel()
	k, r := aCar(t, sleepy()...)
	const presses = "turn-lh@2s..2200ms turn-rh@2s..2200ms turn-lh@2400ms..2600ms turn-rh@2400ms..2600ms " + // locked
		"turn-lh@4003ms..8s~75/min:50% turn-rh@4003ms..8s~75/min:50% " + // hazard
		"stop@10001ms..10500ms tail@12s..13s turn-lh@15s..16s~90/min:50%"
	line := conditions(t, presses)
	driven(t, func(t *testing.T, drive drive) {
		var turn, stop, tail [2]wire
		for i, side := range []string{"turn-lh", "turn-rh"} {
			turn[i] = wire{spans: line.Spans(side), never: true}
			stop[i] = wire{spans: line.Spans("stop"), never: true}
			tail[i] = wire{spans: line.Spans("tail"), never: true}
		}
		count := tally{}
		sleeps := [2]int{}
		drive(t, k, r, presses, func(i int, v seen) {
			sleeps[i] += v.sleeps
			for _, c := range []struct {
				what   string
				wire   *wire
				set    outputs
				within time.Duration
			}{{"turn", &turn[i], carArrow, turnLatency + wakes}, {"stop", &stop[i], carBlock, stopLatency}, {"tail", &tail[i], carEdge, settled + wakes}} {
				c.wire.to(v.at)
				c.wire.lit |= v.lit
				switch {
				case c.wire.held(v.at+refresh, c.within):
					if count[c.what]++; c.wire.lit&c.set == 0 {
						t.Errorf("module %d at %v, %v after the %s wire's edge: dark", i, v.at, v.at-c.wire.since, c.what)
					}
				case c.wire.gone(v.at, release):
					if count["no "+c.what]++; v.lit&c.set != 0 {
						t.Errorf("module %d at %v: %s is lit", i, v.at, c.what)
					}
				}
			}
		})
		count.least(t, 500, "turn", "stop", "tail", "no turn", "no stop", "no tail")
		if strings.Contains(t.Name(), "HEX") && (sleeps[0] < 4 || sleeps[1] < 4) {
			t.Errorf("they slept only %v times", sleeps)
		}
	})
}

// Asleep is what a car at rest is: nearly all of its time, though an input twitches now and then.
func TestShareAsleep(t *testing.T) {
	t.Parallel()
	k, r := aCar(t, sleepy()...)
	var words []string
	for n := range 12 {
		words = append(words, fmt.Sprintf("tail@%dms..%dms", 5000*(n+1), 5000*(n+1)+1))
	}
	log := withEvents(t, k, r, conditions(t, strings.Join(words, " ")), 70*time.Second, nil, func(i int, v seen) {
		if v.lit != 0 {
			t.Errorf("module %d at %v: lit are %03x", i, v.at, v.lit)
		}
	})
	for _, m := range log.Modules {
		// Awake until the first sleep, and two to four frames after each twitch (docs/engine.md, section 10).
		awake := sleepAfter + 100*ms + 12*16*ms
		if share := m.Load.DownShare(); share < 1-awake.Seconds()/70 {
			t.Errorf("%s slept for a share of %.4f", m.Name, share)
		}
		if len(m.Boots) != 1 {
			t.Errorf("%s started %d times", m.Name, len(m.Boots))
		}
	}
}
