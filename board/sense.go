package board

import (
	"math"

	"lampwright/units"
)

// The module's converter gives a code: how many 256ths of the logic supply stand at a pin, cut to whole ones.
const (
	codeSteps = 256
	codeMost  = codeSteps - 1

	// codeDoubt is by how many codes a conversion may be off: 4.5 of ten bits (ATmega328P data sheet, absolute accuracy with a
	// converter clock of 1 MHz, typical; from memory).
	codeDoubt = 4.5 / 4

	// pinLeakage is the most that flows into or out of a pin that is read, A (ATmega328P data sheet, input leakage current, from
	// memory).
	pinLeakage = 1e-6
)

// SupplySense is the divider from the protected supply to the sense pin.
type SupplySense struct {
	Series    Figure[units.Resistance] `yaml:"series"`
	ToGround  Figure[units.Resistance] `yaml:"to-ground"`
	Tolerance Figure[units.Share]      `yaml:"tolerance"` // of both resistors

	logic          units.Voltage // what the converter compares with
	logicTolerance units.Share
}

// fullScale is the supply of which 256 codes are made, with every part off by its tolerance towards a higher (+1) or a lower
// (-1) one; 0 is nominal.
func (s SupplySense) fullScale(sign float64) float64 {
	t := sign * float64(s.Tolerance.Is)
	series, ground := float64(s.Series.Is)*(1+t), float64(s.ToGround.Is)*(1-t)
	return float64(s.logic) * (1 + sign*float64(s.logicTolerance)) * (series + ground) / ground
}

// Exact gives the code of a supply before it is cut to a whole one, parts nominal.
func (s SupplySense) Exact(v units.Voltage) float64 { return float64(v) * codeSteps / s.fullScale(0) }

// Code gives what the module reads at a supply, parts nominal.
func (s SupplySense) Code(v units.Voltage) uint8 { return cut(s.Exact(v)) }

// From gives the supply from which a module reads a code or more: with nominal parts, and between which bounds with any.
func (s SupplySense) From(code int) (nominal, lowest, highest units.Voltage) {
	series, ground := float64(s.Series.Is), float64(s.ToGround.Is)
	doubt := codeDoubt + pinLeakage*series*ground/(series+ground)/float64(s.logic)*codeSteps
	at := func(sign float64) units.Voltage {
		return units.Voltage((float64(code) + sign*doubt) / codeSteps * s.fullScale(sign))
	}
	return at(0), at(-1), at(+1)
}

// HeatSense is the sensor that tells how hot the board is: a resistor from the logic supply to the heat pin, and from there to
// ground one whose resistance falls as it gets hotter, R = AtRoom · exp(Beta · (1/T − 1/298.15 K)) (the law of such sensors
// that their data sheets give with Beta). The zero value is no sensor.
type HeatSense struct {
	PullUp    Figure[units.Resistance] `yaml:"pull-up"`
	Tolerance Figure[units.Share]      `yaml:"tolerance"` // of the pull-up

	AtRoom        Figure[units.Resistance] `yaml:"at-25"`
	RoomTolerance Figure[units.Share]      `yaml:"at-25-tolerance"`
	Beta          Figure[float64]          `yaml:"beta"` // K
	BetaTolerance Figure[units.Share]      `yaml:"beta-tolerance"`
}

const (
	zeroCelsius = 273.15 // K
	room        = 25 + zeroCelsius
)

// Fitted tells whether there is a sensor.
func (s HeatSense) Fitted() bool { return s.AtRoom.Is > 0 }

// Exact gives the code of a temperature before it is cut to a whole one, parts nominal.
func (s HeatSense) Exact(t units.Temperature) float64 {
	r := float64(s.AtRoom.Is) * math.Exp(s.Beta.Is*(1/(float64(t)+zeroCelsius)-1/room))
	return codeSteps * r / (r + float64(s.PullUp.Is))
}

// Code gives what the module reads at a temperature, parts nominal; 255 without a sensor.
func (s HeatSense) Code(t units.Temperature) uint8 {
	if !s.Fitted() {
		return codeMost
	}
	return cut(s.Exact(t))
}

// UpTo gives the temperature from which a module reads a code or less: with nominal parts, and between which bounds with any.
func (s HeatSense) UpTo(code int) (nominal, lowest, highest units.Temperature) {
	at := func(sign float64) units.Temperature {
		share := (float64(code+1) - sign*codeDoubt) / codeSteps // read as less than the next code
		pull := float64(s.PullUp.Is) * (1 - sign*float64(s.Tolerance.Is))
		cold := float64(s.AtRoom.Is) * (1 + sign*float64(s.RoomTolerance.Is))
		ratio := pull * share / (1 - share) / cold
		beta := s.Beta.Is * (1 - sign*float64(s.BetaTolerance.Is))
		return units.Temperature(1/(1/room+math.Log(ratio)/beta) - zeroCelsius)
	}
	return at(0), at(-1), at(+1)
}

func cut(code float64) uint8 { return uint8(min(max(math.Floor(code), 0), codeMost)) }
