package car

import (
	"lampwright/program"
	"lampwright/units"
)

// leastLight is the supply below which a lamp is taken as dark: less than any string of LEDs with its resistor and its switch is made
// for. Common practice, no source.
const leastLight units.Voltage = 5

// Levels gives the levels of a module's outputs now: full where the stop override holds them on, none while the module is asleep or
// its controller does not run. Whether light is halved, or lost on the way, is for Duties.
func (r *Rig) Levels(module int) (levels [program.MaxOutputs]uint8) {
	m := &r.modules[module]
	if m.engine == nil || m.asleep {
		return levels
	}
	shown := m.engine.Shown()
	for o := range shown.Levels {
		if shown.Force[o/8]>>(o%8)&1 != 0 {
			shown.Levels[o] = program.FullLevel
		}
	}
	return shown.Levels
}

// Duties gives the light of a module's outputs now, 0 to program.FullDuty: halved where the engine halves it, none without a supply
// for the LEDs, and as broken outputs have it.
func (r *Rig) Duties(module int) (duties [program.MaxOutputs]uint16) {
	m := &r.modules[module]
	if m.now.Rail < leastLight || m.left {
		return duties
	}
	if m.engine != nil && !m.asleep {
		shown, halved := m.engine.Shown(), m.engine.Halved()
		for o, level := range shown.Levels {
			d := program.Duty(level)
			if halved {
				d >>= 1
			}
			if shown.Force[o/8]>>(o%8)&1 != 0 {
				d = program.FullDuty
			}
			duties[o] = d
		}
	}
	for _, b := range r.course.Outputs {
		if b.Module == module && b.From <= r.at && r.at < b.To {
			duties[b.Output] = 0
			if b.On {
				duties[b.Output] = program.FullDuty
			}
		}
	}
	return duties
}

// State is what a module does.
type State string

// The states of a module.
const (
	Off      State = "off"      // no supply, or dead
	Starting State = "starting" // its supply has come, its controller does not run yet
	Plain    State = "plain"    // the safe program: its image is being checked, or was refused
	Runs     State = "runs"
	Halved   State = "halved" // runs, with half the light: too much supply, or heat
	Asleep   State = "asleep"
)

// State tells what a module does now.
func (r *Rig) State(module int) State {
	m := &r.modules[module]
	switch {
	case !m.now.Powered:
		return Off
	case m.engine == nil:
		return Starting
	case m.asleep:
		return Asleep
	case m.engine.Halved():
		return Halved
	case !m.engine.Shown().Live:
		return Plain
	}
	return Runs
}
