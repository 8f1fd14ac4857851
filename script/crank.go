package script

import "lampwright/units"

// A crank dip is what the supply does while the engine is started: it falls, rests deep for the time in which the starter
// begins to turn, rises to what is left while it turns, and comes back. Times and volts are those of a starting profile of
// level IV for 12 V in ISO 16750-2, from memory; the ripple on the long part is left out.
const (
	crankFall  = 5 * units.Millisecond
	crankDeep  = 15 * units.Millisecond
	crankRise  = 50 * units.Millisecond
	crankBack  = 100 * units.Millisecond
	crankShort = crankFall + crankDeep + crankRise + crankBack // shorter cannot be said

	crankLowest  units.Voltage = 6
	crankTurning units.Voltage = 6.5
	crankStep                  = units.Millisecond // a slope is made of steps
)

// Level is a supply voltage from a time on.
type Level struct {
	At    units.Time
	Volts units.Voltage
}

// crank gives the supply during a dip, from what it was before.
func crank(from, to units.Time, before units.Voltage) []Level {
	var levels []Level
	slope := func(at, long units.Time, a, b units.Voltage) {
		for t := crankStep; t <= long; t += crankStep {
			levels = append(levels, Level{at + t - crankStep, a + (b-a)*units.Voltage(t)/units.Voltage(long)})
		}
	}
	slope(from, crankFall, before, min(before, crankLowest))
	slope(from+crankFall+crankDeep, crankRise, min(before, crankLowest), min(before, crankTurning))
	slope(to-crankBack, crankBack, min(before, crankTurning), before)
	return levels
}

// SupplyLevels gives the car's supply over time, from time 0 on: usual where no condition says another. Each level lasts until the next.
func (t *Timeline) SupplyLevels(usual units.Voltage) []Level {
	said := t.Conditions(Supply)
	last := func(at units.Time, upTo int) (int, units.Voltage) {
		for i := upTo - 1; i >= 0; i-- {
			if said[i].Holds(at) && said[i].Is == "" {
				return i, said[i].Volts
			}
		}
		return -1, usual
	}
	var times []units.Time
	dips := map[int][]Level{}
	for i, c := range said {
		times = append(times, c.From, c.To)
		if c.Is == Crank {
			_, before := last(c.From, i)
			dips[i] = crank(c.From, c.To, before)
			for _, l := range dips[i] {
				times = append(times, l.At)
			}
		}
	}
	at := func(at units.Time) units.Voltage {
		i, volts := last(at, len(said))
		for d := len(said) - 1; d > i; d-- {
			if said[d].Is != Crank || !said[d].Holds(at) {
				continue
			}
			for _, l := range dips[d] {
				if l.At <= at {
					volts = l.Volts
				}
			}
			return volts
		}
		return volts
	}
	var levels []Level
	for _, t := range ascending(append(times, 0)) {
		if v := at(t); len(levels) == 0 || levels[len(levels)-1].Volts != v {
			levels = append(levels, Level{t, v})
		}
	}
	return levels
}
