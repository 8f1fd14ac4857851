package board

import "lampwright/units"

// Logic levels of the controller's inputs as parts of its supply (ATmega328P data sheet, DC characteristics:
// VIL at most 0.3 VCC, VIH at least 0.6 VCC, for a supply of 2.4 V to 5.5 V).
const (
	lowShare  = 0.3
	highShare = 0.6
)

// InputCircuit is the divider in front of every input: a resistor in series, one to ground, and diodes that clamp to the
// logic supply and to ground.
type InputCircuit struct {
	Series         Figure[units.Resistance] `yaml:"series"`
	ToGround       Figure[units.Resistance] `yaml:"to-ground"`
	Tolerance      Figure[units.Share]      `yaml:"tolerance"` // of both resistors
	Logic          Figure[units.Voltage]    `yaml:"logic"`     // supply of the controller
	LogicTolerance Figure[units.Share]      `yaml:"logic-tolerance"`
	Clamp          Figure[units.Voltage]    `yaml:"clamp"` // forward voltage of the clamp
}

// ratio is the part of the wire's voltage that reaches the pin, off from nominal by the resistors' tolerance: sign +1 makes
// the greatest, -1 the least.
func (c InputCircuit) ratio(sign float64) float64 {
	t := sign * float64(c.Tolerance.Is)
	ground, series := float64(c.ToGround.Is)*(1+t), float64(c.Series.Is)*(1-t)
	return ground / (ground + series)
}

// LowUpTo is the wire's voltage up to which the input reads low at every tolerance.
func (c InputCircuit) LowUpTo() units.Voltage {
	return units.Voltage(lowShare * float64(c.Logic.Is) * (1 - float64(c.LogicTolerance.Is)) / c.ratio(+1))
}

// HighFrom is the wire's voltage from which the input reads high at every tolerance.
func (c InputCircuit) HighFrom() units.Voltage {
	return units.Voltage(highShare * float64(c.Logic.Is) * (1 + float64(c.LogicTolerance.Is)) / c.ratio(-1))
}

// ClampCurrent is what flows through the clamp when the wire stands at the given voltage; 0 when it does not conduct.
// Resistors are nominal.
func (c InputCircuit) ClampCurrent(wire units.Voltage) units.Current {
	pin := float64(c.Logic.Is + c.Clamp.Is)
	i := (float64(wire)-pin)/float64(c.Series.Is) - pin/float64(c.ToGround.Is)
	return units.Current(max(i, 0))
}

// SeriesPower is the heat in the series resistor when the wire stands at the given voltage and the pin at its clamp.
func (c InputCircuit) SeriesPower(wire units.Voltage) units.Power {
	pin := min(float64(wire)*c.ratio(0), float64(c.Logic.Is+c.Clamp.Is))
	drop := float64(wire) - pin
	return units.Power(drop * drop / float64(c.Series.Is))
}

// Current is what the input draws from its wire.
func (c InputCircuit) Current(wire units.Voltage) units.Current {
	pin := min(float64(wire)*c.ratio(0), float64(c.Logic.Is+c.Clamp.Is))
	return units.Current((float64(wire) - pin) / float64(c.Series.Is))
}

// LinkCircuit is what stands between the link pin and the link wire: a pull-up at the pin and a resistor in series.
type LinkCircuit struct {
	Series Figure[units.Resistance] `yaml:"series"`
	PullUp Figure[units.Resistance] `yaml:"pull-up"`
}

// LowAt is the voltage at another module's pin while one of n modules pulls the wire low and its ground stands higher by
// shift, at the given logic supply.
func (c LinkCircuit) LowAt(n int, logic, shift units.Voltage) units.Voltage {
	series, up := float64(c.Series.Is), float64(c.PullUp.Is)
	// Seen from the wire: the pulling module's series resistor to its ground, and n-1 pull-ups behind their series resistors.
	others := float64(n-1) / (up + series)
	wire := (float64(logic)*others + float64(shift)/series) / (others + 1/series)
	return units.Voltage(wire + (float64(logic)-wire)*series/(up+series))
}

// PullCurrent is what the pulling pin sinks when the wire is shorted to the given supply.
func (c LinkCircuit) PullCurrent(supply units.Voltage) units.Current {
	return units.Current(float64(supply) / float64(c.Series.Is))
}
