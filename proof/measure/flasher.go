package measure

import (
	"math/rand/v2"
	"time"
)

// Flasher is a car's flasher.
type Flasher struct {
	Rate   float64 // flashes a minute
	Share  float64 // of the period that is on, 0..1
	Jitter float64 // each on-time is uniform within this share of it, either way
}

func (f Flasher) on() time.Duration {
	return time.Duration(f.Share * 60 / f.Rate * float64(time.Second))
}

// blink is one flash: how long on, then how long off.
type blink struct{ on, off time.Duration }

// flashes draws so many flashes.
func (f Flasher) flashes(random *rand.Rand, n int) []blink {
	period := time.Duration(60 / f.Rate * float64(time.Second))
	list := make([]blink, n)
	for i := range list {
		on := f.on()
		off := period - on
		if f.Jitter > 0 {
			on += time.Duration(f.Jitter * (2*random.Float64() - 1) * float64(on))
		}
		list[i] = blink{on, off}
	}
	return list
}

// Rates and shares that vehicle regulations allow a flasher and that are measured: 60 to 120 a minute (SAE J590, UN R48), on for
// 40 to 60 %.
var (
	flashRates  = []float64{60, 90, 120}
	flashShares = []float64{0.4, 0.5, 0.6}
)

// edges gives the edges of flashes that begin at a time: on and off by turns, and the time at which the last one is over.
func edges(from time.Duration, list []blink) (on, off []time.Duration, end time.Duration) {
	for _, f := range list {
		on = append(on, from)
		off = append(off, from+f.on)
		from += f.on + f.off
	}
	return on, off, from
}
