package compile

import (
	"fmt"
	"math"

	"lampwright/program"
	"lampwright/units"
)

// The conditions end so many codes from where they begin (docs/engine.md, section 3.1).
const (
	supplySlack = 4
	heatSlack   = 6
)

// Limit is one limit of the job's guard as a module keeps it: the code that it compares with, and what that is in volts or
// degrees. Codes are rounded so that a module with nominal parts never acts later than it is told to.
type Limit struct {
	Word        string // of the document: shows-above, halve-above, shows-off-at, halve-at
	Code        uint8  // that the module compares with
	Written     string // as the document has it
	At          string // where it acts with nominal parts
	Least, Most string // between which bounds it acts with any parts
	Over        string // from where on it acts no more, nominal parts
}

// String tells the limit in words.
func (l Limit) String() string {
	what := map[string]string{
		wordShowsAbove: "shows end below %s, and may run again from %s",
		wordHalveAbove: "all light is halved from %s on, and full again below %s",
		wordShowsOffAt: "shows end from %s on, and may run again below %s",
		wordHalveAt:    "all light but the stop's is halved from %s on, and full again below %s",
	}[l.Word]
	return fmt.Sprintf(what, l.Written, l.Over) + fmt.Sprintf(" (code %d: %s, with any parts %s to %s)", l.Code, l.At, l.Least, l.Most)
}

const (
	wordShowsAbove = "shows-above"
	wordHalveAbove = "halve-above"
	wordShowsOffAt = "shows-off-at"
	wordHalveAt    = "halve-at"
)

// guard turns the job's guard into the codes of a module.
func (c *compiler) guard(out *Module) {
	g, p := c.kit.Guard, out.Program
	supply, heat := out.Of.Board.Supply, out.Of.Board.Heat
	volts := func(word string, limit units.Voltage, code, over int) uint8 {
		if limit == 0 {
			return 0
		}
		say := func(v units.Voltage) string { return fmt.Sprintf("%.1f V", float64(v)) }
		at, least, most := supply.From(code)
		back, _, _ := supply.From(over)
		out.Limits = append(out.Limits, Limit{word, uint8(code), limit.String(), say(at), say(least), say(most), say(back)})
		return uint8(code)
	}
	degrees := func(word string, limit units.Temperature) uint8 {
		if limit == 0 || !heat.Fitted() {
			return 0
		}
		say := func(t units.Temperature) string { return fmt.Sprintf("%.0f °C", float64(t)) }
		code := int(heat.Code(limit))
		at, least, most := heat.UpTo(code)
		back, _, _ := heat.UpTo(code + heatSlack)
		out.Limits = append(out.Limits, Limit{word, uint8(code), limit.String(), say(at), say(least), say(most), say(back)})
		return uint8(code)
	}
	low := min(int(math.Ceil(supply.Exact(g.ShowsAbove))), math.MaxUint8)
	p.Low = volts(wordShowsAbove, g.ShowsAbove, low, min(low+supplySlack, math.MaxUint8))
	over := int(supply.Code(g.HalveAbove))
	out.over = volts(wordHalveAbove, g.HalveAbove, over, over-supplySlack)
	p.Warm = degrees(wordShowsOffAt, g.ShowsOffAt)
	p.Hot = degrees(wordHalveAt, g.HalveAt)
	p.SleepAfter = sleepUnits(g.SleepAfter)
}

// sleepUnits gives whole units of 256 ms, not less than a time, as far as a module counts; 0 stays 0.
func sleepUnits(t units.Time) uint8 {
	return uint8(min(math.Ceil(t.Milliseconds()/(program.SleepUnitFrames*program.FrameMS)), math.MaxUint8))
}
