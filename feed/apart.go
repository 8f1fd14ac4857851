package feed

import "lampwright/units"

// ToldApart is how much later than its wire a turn counts whose wire lights for the stop as well: it must stand apart from the stop's
// reference for six frames (docs/engine.md, section 3.2).
const ToldApart = 24 * units.Millisecond

// Apart is how much later, at worst, one of two wires that are switched at once is read than the other: for on and for off, the slowest
// reading of one less the quickest of the other, at the worst clocks.
func Apart(a Filter, da Delay, b Filter, db Delay) units.Time {
	later := func(slow Delay, quick Filter) units.Time {
		least := func(count uint8) units.Time { return units.Time(int64(count)*shortRefresh/1000) * units.Microsecond }
		return max(slow.On-least(quick.On), slow.Off-least(quick.Off))
	}
	return max(later(da, b), later(db, a), 0)
}
