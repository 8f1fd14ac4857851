package script

import "lampwright/units"

// Lit tells whether an input that flashes since a time ago is on now, just as a press that began then.
func (f Flash) Lit(ago units.Time) bool {
	if f.Rate <= 0 {
		return true
	}
	return ago < f.offAt(f.number(ago))
}

// Turns gives when, counted from its beginning, an input that flashes next goes on or off after a time.
func (f Flash) Turns(ago units.Time) units.Time {
	k := f.number(ago)
	if off := f.offAt(k); off > ago {
		return off
	}
	return f.onAt(k + 1)
}

// number gives which flash a time belongs to, the first is 0.
func (f Flash) number(ago units.Time) int64 {
	k := int64(ago) * int64(f.Rate) / flashPeriod
	for f.onAt(k+1) <= ago { // onAt is rounded down
		k++
	}
	return k
}
