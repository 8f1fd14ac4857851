package feed

import (
	"lampwright/board"
	"lampwright/units"
)

// OffVolts is where the wire stands while nothing drives it: what leaks into it, against the input of a board and the pull-down if one is
// fitted. Of a leak through nobody knows what it is the voltage without a load.
func (f Feed) OffVolts(c board.InputCircuit) units.Voltage {
	if f.Leak.Through == 0 {
		return f.Leak.Volts
	}
	return f.Leak.under(f.PullDown, inputResistance(c))
}
