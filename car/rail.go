package car

import (
	"math"

	"lampwright/units"
)

// What stands between the feeds and a module's controller, nominal: docs/boards/around.md.
const (
	feedDrop      units.Voltage = 0.7  // a silicon diode from a signal wire into the supply; common practice, no source
	reverseDrop   units.Voltage = 0.05 // reverse protection
	reservoirDrop units.Voltage = 0.5  // the diode in front of the reservoir
	dropout       units.Voltage = 0.6  // of the regulator
	brownOut      units.Voltage = 4.3  // the controller is held in reset below: ATmega328P data sheet, BODLEVEL 100

	// ramLives is for how long the controller's RAM holds what it held: 470 µF at its supply, as a module that is fed by its turn wire has,
	// fall from 4.3 V to 1.5 V in 0.9 s. Common practice, no source: the data sheet has no figure for what RAM needs.
	ramLives = 800 * units.Millisecond

	// fallPerSecond is how fast the reservoir empties: 30 mA out of 100 µF.
	fallPerSecond units.Voltage = 300
)

// leastReservoir is what the controller needs to start, and where it is reset.
const leastReservoir = brownOut + dropout

// bridged is how much further the reservoir may empty for a module that its turn wire alone feeds: 470 µF at the controller fall from
// 4.9 V to 4.5 V in 6 ms of 30 mA (a regulator of 2 %, and the detector's limits: ATmega328P data sheet, BODLEVEL 100).
const bridged = fallPerSecond * 0.006

// reservoir follows the feeds of one module from change to change.
type reservoir struct {
	at      units.Time
	feed    units.Voltage // the highest feed since at
	volts   units.Voltage // at at
	spare   units.Voltage // how far it may fall below leastReservoir
	powered bool
	lost    units.Time // when the controller was last reset, if it was
	lived   bool       // and whether its RAM lived on until powered again
	begun   bool       // it was powered before
}

// rail is the protected supply, of which light is made and which the sense pin reads.
func (r *reservoir) rail() units.Voltage { return max(r.feed-reverseDrop, 0) }

// filled is the level that the feed keeps up.
func (r *reservoir) filled() units.Voltage { return max(r.rail()-reservoirDrop, 0) }

// until goes on to a time, with the feed as it is. It gives the time at which the controller lost its supply on the way, or -1.
func (r *reservoir) until(at units.Time) (lost units.Time) {
	lost = -1
	from, filled := r.volts, r.filled()
	fallen := from - fallPerSecond*units.Voltage((at-r.at).Seconds())
	if least := leastReservoir - r.spare; r.powered && filled < leastReservoir && fallen < least {
		lost = r.at + units.Seconds(math.Max(0, float64((from-least)/fallPerSecond)))
		r.powered, r.lost = false, lost
	}
	if r.volts, r.at = fallen, at; !r.powered || filled >= leastReservoir {
		r.volts = max(filled, fallen)
	}
	return lost
}

// change sets the feed from now on, after until.
func (r *reservoir) change(feed units.Voltage) {
	r.feed = feed
	if filled := r.filled(); !r.powered || filled >= leastReservoir {
		r.volts = max(r.volts, filled)
	}
	if r.volts >= leastReservoir && !r.powered {
		r.lived = r.begun && r.at-r.lost <= ramLives
		r.powered, r.begun = true, true
	}
}
