package measure

import (
	"fmt"
	"strconv"
	"time"
)

// Figure is one measured number.
type Figure struct {
	Name  string
	Value float64
	Unit  string
	Goal  Goal
}

// Goal is what a figure must be. The zero value asks for nothing.
type Goal struct {
	Sense Sense
	Limit float64 // in the figure's unit
}

// Sense is on which side of its limit a figure must lie.
type Sense int

const (
	None    Sense = iota
	AtMost        // the limit itself is good
	Below         // the limit itself is not
	AtLeast       // the limit itself is good
)

// Verdict is what a figure is worth.
type Verdict string

const (
	Met      Verdict = "met"
	NotMet   Verdict = "NOT MET"
	Reported Verdict = "reported" // nothing was asked for
)

// Verdict compares the figure with its goal.
func (f Figure) Verdict() Verdict {
	good := false
	switch f.Goal.Sense {
	case None:
		return Reported
	case AtMost:
		good = f.Value <= f.Goal.Limit
	case Below:
		good = f.Value < f.Goal.Limit
	case AtLeast:
		good = f.Value >= f.Goal.Limit
	}
	if good { // a value that is no number is never good
		return Met
	}
	return NotMet
}

// Number prints the value, three or more digits that count.
func (f Figure) Number() string {
	v := f.Value
	switch {
	case v == float64(int64(v)):
		return strconv.FormatInt(int64(v), 10)
	case v >= 100 || v <= -100:
		return strconv.FormatFloat(v, 'f', 1, 64)
	case v >= 1 || v <= -1:
		return strconv.FormatFloat(v, 'f', 2, 64)
	}
	return strconv.FormatFloat(v, 'f', 4, 64)
}

func (g Goal) String() string {
	limit := Figure{Value: g.Limit}.Number()
	switch g.Sense {
	case AtMost:
		return "at most " + limit
	case Below:
		return "below " + limit
	case AtLeast:
		return "at least " + limit
	}
	return "-"
}

func (f Figure) String() string {
	return fmt.Sprintf("%s: %s %s (goal %v: %s)", f.Name, f.Number(), f.Unit, f.Goal, f.Verdict())
}

func atMost(limit float64) Goal  { return Goal{AtMost, limit} }
func below(limit float64) Goal   { return Goal{Below, limit} }
func atLeast(limit float64) Goal { return Goal{AtLeast, limit} }

// none is the goal of everything that must not happen.
var none = atMost(0)

func inMS(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
