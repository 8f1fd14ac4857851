package board

import "lampwright/units"

// Draw is what one part of a board takes from a battery of 12.6 V (full and at rest) while every lamp is dark.
type Draw struct {
	Part   string        `yaml:"part"`
	Awake  units.Current `yaml:"awake"`
	Asleep units.Current `yaml:"asleep"`
	// True when each register of the board takes it.
	EachRegister bool `yaml:"each-register,omitempty"`
	// What is uncertain about it.
	Doubt string `yaml:"doubt,omitempty"`
	// Where it comes from, as for a Figure.
	Source string `yaml:"source"`
}

// Awake is what the board takes from the battery while every lamp is dark and its program runs.
func (b Board) Awake() units.Current { return b.sum(func(d Draw) units.Current { return d.Awake }) }

// Asleep is what it takes while it sleeps.
func (b Board) Asleep() units.Current { return b.sum(func(d Draw) units.Current { return d.Asleep }) }

func (b Board) sum(of func(Draw) units.Current) (all units.Current) {
	for _, d := range b.Drain {
		n := 1
		if d.EachRegister {
			n = b.Registers
		}
		all += of(d) * units.Current(n)
	}
	return all
}

// AsleepGoal is what a module should take at most while it sleeps: add-on modules are held to 1 to 5 mA, and a car has several.
// Common practice, no source.
const AsleepGoal units.Current = 0.5e-3
