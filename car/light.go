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
	if m.now.Rail < leastLight {
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

// Halved tells whether a module halves its light now.
func (r *Rig) Halved(module int) bool {
	m := &r.modules[module]
	return m.engine != nil && m.engine.Halved()
}

// Asleep tells whether a module sleeps now.
func (r *Rig) Asleep(module int) bool { return r.modules[module].asleep }
