package feed

import (
	"fmt"
	"math"

	"lampwright/board"
	"lampwright/report"
	"lampwright/units"
)

// Thresholds are the voltages of a wire between which its input may read either way, at every tolerance.
type Thresholds struct {
	LowUpTo, HighFrom units.Voltage
}

// PullDown is advice about a resistor from the wire to ground, at the module. It is zero when none is needed.
type PullDown struct {
	AtMost units.Resistance // largest E12 value that keeps a wire with a known leak low with margin; 0: the leak is not known
	Fit    units.Resistance // what to fit: the usual value, or AtMost where that is less; or what is fitted, where that does
	Power  units.Power      // heat of Fit at HotSupply, as long as the wire is on
	Rating units.Power      // least common rating that is used to at most 60 %; 0: the heat is too much for all of them
}

// What the advice rests on.
const (
	HotSupply      = units.Voltage(16)      // ISO 16750-2, upper end of the common operating range, from memory
	usualPullDown  = units.Resistance(2200) // common practice, no source
	leakMargin     = 0.75                   // share of the low threshold up to which a leaking wire may stand; common practice, no source
	pullTolerance  = 0.05                   // of the resistor that is fitted
	mostPullPower  = units.Power(2)         // more heat than this has no place in a lamp; common practice, no source
	RatedUse       = 0.6                    // share of a resistor's rating that is used; common practice, no source
	lowSource      = "calculated: ATmega328P data sheet, input low up to 0.3 VCC, through the board's divider"
	practiceSource = "common practice"
)

// ratings are the common sizes of resistors, W; common practice, no source.
var ratings = [...]units.Power{0.125, 0.25, 0.5, 1, 2, 3, 5}

// Electrical compares the voltages of a wire with the thresholds of a board's input. A wire that floats too high when off gets
// advice for a pull-down and a finding; where the feed has a pull-down already, that one is judged. Findings have no place. An
// unfit feed gives the list of Check.
func Electrical(f Feed, c board.InputCircuit) (Thresholds, PullDown, report.List) {
	t := Thresholds{LowUpTo: c.LowUpTo(), HighFrom: c.HighFrom()}
	list := f.Check()
	if list.HasErrors() {
		return t, PullDown{}, list
	}
	if r := f.PullDown; r != 0 && heat(r) > mostPullPower {
		list.Add(report.Findingf(report.Caution, "feed-pull-down-hot", report.Place{}, "%s to ground turns %s into heat while the wire is on", r, watts(heat(r))).
			Because("a lamp is closed, and what is hot in it cooks wires and LEDs").
			Against(watts(heat(r)), watts(mostPullPower), practiceSource+", at "+HotSupply.String()).
			Do("fit a larger resistor, or mount it outside the lamp on bare metal"))
	}
	limit := leakMargin * t.LowUpTo
	if f.Leak.Volts <= limit {
		return t, fitted(f.PullDown), list
	}
	input := inputResistance(c)
	advice := pullDownFor(f.Leak, limit, input)
	if f.Leak.Through == 0 {
		list.Add(unknownLeak(f, t, limit, advice))
		return t, advice, list
	}
	stands := f.Leak.under(f.PullDown, input)
	if stands <= limit {
		done := fitted(f.PullDown)
		if f.PullDown != 0 {
			done.AtMost = advice.AtMost
		}
		return t, done, list
	}
	severity, what := report.StopWork, "the module may take it for on, with the lamp switched off"
	if stands <= t.LowUpTo {
		severity, what = report.Caution, "water in a plug or a warmer control unit is enough to make the module take it for on"
	}
	name := "the wire stands at %s when off, with the input alone to pull it down"
	if f.PullDown != 0 {
		name = "the wire stands at %s when off, in spite of the resistor to ground"
	}
	d := report.Findingf(severity, "feed-floats", report.Place{}, name, volts(stands)).Because("%s", what).
		Against(volts(stands), volts(limit), lowSource+"; a quarter of it kept as margin: "+practiceSource)
	if advice.Fit == 0 {
		d.Severity = report.StopWork
		d = d.Do("take the signal from another wire: a resistor that pulls this one down would be hotter than %s at %s", mostPullPower, HotSupply)
	} else {
		d = d.Do("fit %s, and enter it as the wire's pull-down", advice)
	}
	list.Add(d)
	return t, advice, list
}

// inputResistance is the most that a board's input has from its wire to ground, ohms.
func inputResistance(c board.InputCircuit) float64 {
	return float64(c.Series.Is+c.ToGround.Is) * (1 + float64(c.Tolerance.Is))
}

// under is where the wire stands with an input of so many ohms and a pull-down (0: none) at the upper end of its tolerance.
func (l Leak) under(pull units.Resistance, input float64) units.Voltage {
	down := input
	if pull > 0 {
		down = 1 / (1/input + 1/(float64(pull)*(1+pullTolerance)))
	}
	return l.Volts * units.Voltage(down/(down+float64(l.Through)))
}

// pullDownFor finds the resistor that keeps the wire at or under limit; none when it would get too hot.
func pullDownFor(l Leak, limit units.Voltage, input float64) PullDown {
	p := PullDown{Fit: usualPullDown}
	if l.Through > 0 {
		most := math.Inf(1) // what may stand to ground in all, against what the input does already
		if down := float64(l.Through) * float64(limit) / float64(l.Volts-limit); down < input {
			most = 1 / (1/down - 1/input) / (1 + pullTolerance)
		}
		p.AtMost = units.E12AtMost(min(units.Resistance(most), maxPull))
		p.Fit = min(p.AtMost, usualPullDown)
	}
	if p.Fit == 0 || heat(p.Fit) > mostPullPower {
		return PullDown{AtMost: p.AtMost}
	}
	p.Power, p.Rating = heat(p.Fit), ratingFor(heat(p.Fit))
	return p
}

// fitted describes a resistor that is there already; 0: none.
func fitted(r units.Resistance) PullDown {
	if r == 0 {
		return PullDown{}
	}
	return PullDown{Fit: r, Power: heat(r), Rating: ratingFor(heat(r))}
}

// ratingFor gives the least common rating that bears a heat; 0 when none does.
func ratingFor(p units.Power) units.Power {
	for _, r := range ratings {
		if p <= r*RatedUse {
			return r
		}
	}
	return 0
}

// heat is what a resistor from the wire to ground turns into heat at HotSupply.
func heat(r units.Resistance) units.Power {
	return units.Power(float64(HotSupply) * float64(HotSupply) / float64(r))
}

// unknownLeak tells of a wire that floats, through nobody knows what.
func unknownLeak(f Feed, t Thresholds, limit units.Voltage, advice PullDown) report.Diagnostic {
	severity, next := report.StopWork, fmt.Sprintf("fit %s, then measure the wire with the lamp off, enter what it leaks through, and this pull-down", advice)
	if f.Leak.Volts <= t.LowUpTo { // low even without a load, but with little margin
		severity = report.Caution
	}
	if f.PullDown != 0 {
		severity = report.Caution
		next = "measure the wire with the lamp off and the resistor in place, and enter what it leaks through"
	}
	return report.Findingf(severity, "feed-leak-unknown", report.Place{},
		"the wire floats at %s when off, and it is not known through what", volts(f.Leak.Volts)).
		Because("how far a resistor pulls it down depends on that").
		Against(volts(f.Leak.Volts), volts(limit), lowSource+"; a quarter of it kept as margin: "+practiceSource).Do("%s", next)
}

func watts(p units.Power) string { return fmt.Sprintf("%.2f W", float64(p)) }

func volts(v units.Voltage) string { return fmt.Sprintf("%.2f V", float64(v)) }

// String says what to fit.
func (p PullDown) String() string {
	if p.Fit == 0 {
		return "no pull-down"
	}
	text := fmt.Sprintf("%s to ground, rated %s or more (%.0f mW at %s)", p.Fit, p.Rating, 1000*float64(p.Power), HotSupply)
	switch {
	case p.AtMost > p.Fit:
		text += fmt.Sprintf("; up to %s would do, and %s is common practice", p.AtMost, p.Fit)
	case p.AtMost == 0:
		text += "; common practice"
	}
	return text
}
