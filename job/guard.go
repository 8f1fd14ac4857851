package job

import (
	"lampwright/source"
	"lampwright/units"
)

// Guard says what every module of the job does when supply or heat leave their bounds, and when nothing is asked of it.
type Guard struct {
	source.At
	// Shows end below this supply voltage, so that they never empty the battery. Unless given, they run at any.
	ShowsAbove source.Of[units.Voltage] `yaml:"shows-above,omitempty" min:"6.5 V" max:"28 V"`
	// From this supply voltage on every light is halved, as at a jump start. It is 17 V unless given.
	HalveAbove source.Of[units.Voltage] `yaml:"halve-above,omitempty" min:"6.5 V" max:"28 V"`
	// A module sleeps when nothing was asked of it for this long. Unless given, it never sleeps.
	SleepAfter source.Of[units.Time] `yaml:"sleep-after,omitempty" min:"1 s" max:"65 s"`
	// Shows end from this temperature at the board's sensor on. Unless given, heat ends none.
	ShowsOffAt source.Of[units.Temperature] `yaml:"shows-off-at,omitempty" min:"40 °C" max:"125 °C"`
	// From this temperature at the board's sensor on every light is halved; only the stop stays full. Unless given, heat halves nothing.
	HalveAt source.Of[units.Temperature] `yaml:"halve-at,omitempty" min:"40 °C" max:"125 °C"`
}
