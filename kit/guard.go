package kit

import (
	"lampwright/report"
	"lampwright/units"
)

// Guard is what every module does when supply or heat leave their bounds, and when nothing is asked of it. A value of 0 is
// never.
type Guard struct {
	ShowsAbove units.Voltage     // shows end below
	HalveAbove units.Voltage     // every light is halved from here on
	SleepAfter units.Time        // of nothing asked
	ShowsOffAt units.Temperature // at the board's sensor: shows end from here on
	HalveAt    units.Temperature // likewise: every light but the stop is halved
	At         report.Place      // of the guard, or of the job when none is written
}

// HalveAboveUsual is where light is halved unless the job says otherwise: above every charging voltage, well below a jump
// start's 24 V. Common practice, no source.
const HalveAboveUsual units.Voltage = 17
