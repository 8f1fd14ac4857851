package script

import (
	"slices"

	"lampwright/units"
)

// Conditions gives all conditions of one thing, in the order written.
func (t *Timeline) Conditions(what What) []Condition {
	var all []Condition
	for _, c := range t.world {
		if c.What == what {
			all = append(all, c)
		}
	}
	return all
}

// Worldly tells whether anything but inputs is said.
func (t *Timeline) Worldly() bool { return len(t.world) > 0 }

// Turns gives the times at which a condition begins or ends, ascending, time 0 first. The steps of a crank dip are not among them.
func (t *Timeline) Turns() []units.Time {
	times := []units.Time{0}
	for _, c := range t.world {
		times = append(times, c.From, c.To)
	}
	return ascending(times)
}

// Holding gives the conditions that hold at a time, in the order written.
func (t *Timeline) Holding(at units.Time) []Condition {
	var all []Condition
	for _, c := range t.world {
		if c.Holds(at) {
			all = append(all, c)
		}
	}
	return all
}

// ascending sorts times and drops those that come twice.
func ascending(times []units.Time) []units.Time {
	slices.Sort(times)
	return slices.Compact(times)
}
