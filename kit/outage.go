package kit

import (
	"lampwright/report"
	"lampwright/units"
)

// OutageKind is what a car does when a lamp draws too little current.
type OutageKind string

// The kinds of outage.
const (
	Message   OutageKind = "message"    // it tells the driver
	FlashRate OutageKind = "flash-rate" // its flasher hurries
	ShutOff   OutageKind = "shut-off"   // it switches the wire off
)

// Outage is an output that loads a factory wire with a resistor while the car looks for the current of a bulb.
type Outage struct {
	Name      string
	Input     *Input // whose wire the car checks
	Module    *Module
	Output    int // 0-based; no group hangs on it
	Kind      OutageKind
	Threshold units.Current // below it the car finds a dead lamp
	Window    units.Time    // how long after the wire comes on the car looks; 0: as long as it is on
	Load      units.Resistance
	Sense     *Input // tells that the lamp is whole; while it is off the load stays off. nil: the load does not ask
	At        report.Place
}
