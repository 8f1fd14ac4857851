package script

import (
	"strconv"
	"strings"

	"lampwright/units"
)

// Script is a list of presses and of what the car does beside them, each in the order written.
type Script struct {
	Presses []Press
	World   []Condition
}

// Press says that an input is asked for from From up to, and not at, To.
type Press struct {
	Input    string
	From, To units.Time // from the start of play
	Flash    Flash      // zero: steady
	Bounce   units.Time // contacts chatter for this long after each edge; 0: clean
}

// Flash is an input that goes on and off evenly, beginning with on.
type Flash struct {
	Rate  int // thousandths of a flash per minute; 0: steady
	Share int // on-time, tenths of a per cent of one flash
}

// flashPeriod is one minute over one thousandth of a flash, in microseconds: a flash of rate r lasts flashPeriod/r.
const flashPeriod = int64(units.Minute) * 1000

// onAt and offAt give the edges of the k-th flash after the first on edge. They are rounded down from the exact time
// each, so that an hour of flashes does not drift.
func (f Flash) onAt(k int64) units.Time {
	return units.Time(k * flashPeriod / int64(f.Rate))
}

func (f Flash) offAt(k int64) units.Time {
	return units.Time((k*1000 + int64(f.Share)) * (flashPeriod / 1000) / int64(f.Rate))
}

// Len is the time from the start until the last press ends, bounce included, and the last condition that ends.
func (s Script) Len() units.Time {
	var end units.Time
	for _, c := range s.World {
		end = max(end, c.To)
	}
	for _, p := range s.Presses {
		end = max(end, p.To+p.Bounce)
	}
	return end
}

// Inputs gives the names that the script presses, in the order of first use.
func (s Script) Inputs() []string {
	var names []string
	seen := map[string]bool{}
	for _, p := range s.Presses {
		if !seen[p.Input] {
			seen[p.Input] = true
			names = append(names, p.Input)
		}
	}
	return names
}

// Format prints the script in the text form, on one line, conditions first. Parse reads it back to an equal script.
func Format(s Script) string {
	var parts []string
	for _, c := range s.World {
		parts = append(parts, c.String())
	}
	for _, p := range s.Presses {
		parts = append(parts, p.String())
	}
	return strings.Join(parts, " ")
}

// String prints one press in the text form.
func (p Press) String() string {
	text := p.Input + "@" + span(p.From) + ".." + span(p.To)
	if p.Flash.Rate > 0 {
		text += "~" + decimal(p.Flash.Rate, 1000) + "/min:" + decimal(p.Flash.Share, 10) + "%"
	}
	if p.Bounce > 0 {
		text += "!" + span(p.Bounce)
	}
	return text
}

// span prints a time without the blank before its unit.
func span(t units.Time) string { return strings.ReplaceAll(t.String(), " ", "") }

// decimal prints n/unit without trailing zeros; unit is a power of ten.
func decimal(n, unit int) string {
	text := strconv.Itoa(n / unit)
	if rest := n % unit; rest != 0 {
		digits := strconv.Itoa(unit + rest)[1:]
		text += "." + strings.TrimRight(digits, "0")
	}
	return text
}
