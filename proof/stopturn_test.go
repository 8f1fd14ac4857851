package proof_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// Two lamps whose turn wire lights for the brake too, with a clean stop wire as reference: docs/engine.md, section 3.2.
func toldApart(t testing.TB) []string {
	return []string{"turn-lh: {wire: left.in3}", "turn-lh: {wire: left.in3, carries-stop: {reference: stop}}",
		"turn-rh: {wire: right.in3}", "turn-rh: {wire: right.in3, carries-stop: {reference: stop}}"}
}

// What the lamp makes of the two wires, at worst, from the edge at the wire.
const (
	apart    = 24*ms + turnLatency // a turn is told from a brake 24 ms after its edge
	over     = 640*ms + 30*ms      // the turn is over for certain, while the brake is held
	darkWire = 24*ms + 30*ms       // and in a flash's pause its light is gone
)

// toldFlash knows whether a flash can be told from a brake: it rose alone, or follows another that has been told. The first one on a wire
// that the brake holds high, and one that comes with the brake, look like the brake alone.
type toldFlash struct {
	known, on, braked bool
	off               time.Duration // when the last flash ended
}

func (f *toldFlash) to(at time.Duration, brake, flash *wire) {
	switch {
	case flash.on && !f.on:
		f.known = !brake.on || f.off > 0 && at-f.off < over && brake.held(at, apart)
	case flash.on && brake.on && !f.braked && !flash.held(at, apart):
		f.known = false
	case !flash.on && f.on:
		f.off = at
	}
	f.on, f.braked = flash.on, brake.on
}

// Brake, left turn and right turn (both at once: hazard) in every order of switching them on and off, each with flashers at their own
// phase: the stop is full on both sides for as long as the brake is pressed, and never for a turn alone; the turn of a side flashes while its
// flasher runs and is dark when it does not.
func TestStopAndTurnInEveryOrder(t *testing.T) {
	t.Parallel()
	k, r := aCar(t, toldApart(t)...)
	random := rand.New(rand.NewPCG(3, 2))
	names := []string{"stop", "turn-lh", "turn-rh"}
	driven(t, func(t *testing.T, drive drive) {
		count := tally{}
		for n, order := range orders(len(names)) {
			const step = 1400 * ms
			presses, _ := switched(names, order, 400*ms+time.Duration(random.IntN(40_000))*us, step)
			var words []string
			for _, p := range strings.Fields(presses) {
				if strings.HasPrefix(p, "turn-") {
					p += fmt.Sprintf("~%d/min:%d%%", 70+random.IntN(40), 40+random.IntN(21))
				}
				words = append(words, p)
			}
			text := strings.Join(words, " ")
			line := conditions(t, text)
			var brake, flash [2]wire
			for i, side := range []string{"turn-lh", "turn-rh"} {
				brake[i] = wire{spans: line.Spans("stop"), never: true}
				flash[i] = wire{spans: line.Spans(side), never: true}
			}
			wrong := 0
			var told [2]toldFlash
			drive(t, k, r, text, func(i int, v seen) {
				b, f := &brake[i], &flash[i]
				b.to(v.at)
				f.to(v.at)
				told[i].to(v.at, b, f)
				hold := func(what string, so bool) {
					if count[what]++; !so {
						if wrong++; wrong < 4 {
							t.Errorf("%s: module %d at %v: not so: %s (lit %03x, full %03x)", text, i, v.at, what, v.lit, v.full)
						}
					}
				}
				switch {
				case b.held(v.at, stopLatency):
					hold("brake: stop is full", carBlock&^v.full == 0)
				case b.gone(v.at, release):
					hold("no brake: stop is dark", v.lit&carBlock == 0)
				}
				if v.at < 300*ms {
					return // the image is being checked
				}
				switch {
				case f.held(v.at, apart) && told[i].known:
					hold("flash: turn is lit", v.lit&carArrow != 0)
				case f.gone(v.at, darkWire) && (b.gone(v.at, 0) || f.gone(v.at, over)) || f.never && b.never:
					hold("no flash: turn is dark", v.lit&carArrow == 0)
				}
			})
			if n == 0 && wrong > 0 {
				t.FailNow()
			}
		}
		count.least(t, 1000, "brake: stop is full", "no brake: stop is dark", "flash: turn is lit", "no flash: turn is dark")
	})
}

// A reference that broke: the brake comes on the wire alone and is a stop within a second; a turn on it still is a turn.
func TestStopAndTurnWithoutReference(t *testing.T) {
	t.Parallel()
	k, r := aCar(t, toldApart(t)...)
	driven(t, func(t *testing.T, drive drive) {
		count := tally{}
		drive(t, k, r, "tap:left.in2=open tap:right.in2=open stop@500ms..3s turn-lh@4s..6s~90/min:50% turn-rh@4s..6s~90/min:50%", func(i int, v seen) {
			stop := v.full&carBlock == carBlock
			switch {
			case during(v.at, 1550*ms, 3*time.Second):
				if count["stop"]++; !stop {
					t.Errorf("module %d at %v: the brake is pressed, the stop is not full", i, v.at)
				}
			case during(v.at, 3100*ms, 7*time.Second):
				if count["no stop"]++; v.lit&carBlock != 0 {
					t.Errorf("module %d at %v: the stop is lit", i, v.at)
				}
			}
			if during(v.at, 4100*ms, 6*time.Second) && v.lit&carArrow != 0 {
				count["turn"]++
			}
		})
		count.least(t, 2000, "stop", "no stop", "turn")
	})
}

// A touch of the brake too short for the stop wire to believe, on turn wires that hold each pulse for longer than it takes to tell a turn
// from a brake: what shows is a turn, for no longer than a flash of that length may, and never a stop. The road's rules know it.
func TestATouchOfTheBrakeLooksLikeATurn(t *testing.T) {
	t.Parallel()
	const pulsed = ", feed: {kind: dimmed, duty: 6 %, at: 51 Hz}}"
	pairs := toldApart(t)
	for i := 1; i < len(pairs); i += 2 {
		pairs[i] = strings.TrimSuffix(pairs[i], "}") + pulsed
	}
	k, r := aCar(t, pairs...)
	alone := 0
	for after := range 100 {
		line := timeline(t, fmt.Sprintf("stop@%dms..%dms!2ms", 426+after, 429+after))
		var roads []*road
		for _, m := range r.Modules {
			one := newRoad(t, k, m, line)
			one.random = true
			one.allow(r.Wires)
			roads = append(roads, one)
		}
		onEngines(t, k, r, line, time.Second, func(i int, v seen) {
			roads[i].see(v)
			if v.lit&carArrow != 0 && v.lit&carBlock == 0 {
				alone++
			}
		})
	}
	if alone < 100 {
		t.Errorf("in %d refreshes a turn showed: the touches were not what this test is about", alone)
	}
}
