package units

import (
	"fmt"
	"math"
	"math/big"
	"strings"
)

// Error tells why a text is not a quantity. Its fields let a reader of a
// document print them apart.
type Error struct {
	Text     string // what was read
	Quantity string // "a length", "a time" ...
	Problem  string // what is wrong, in the builder's words
	Accepted string // units or range that would do
}

// Error gives the problem and what is accepted, in one phrase.
func (e *Error) Error() string {
	return fmt.Sprintf("%q is not %s: %s (accepted: %s)", e.Text, e.Quantity, e.Problem, e.Accepted)
}

// unit is one spelling of a unit and its exact size in the base unit.
type unit struct {
	name      string   // the spelling that is listed in messages
	others    []string // further spellings that are read
	over      int64    // size in base units, as over/under
	under     int64
	shift     int     // the power of ten of the size, for printing
	printFrom float64 // the least magnitude, in base units, that is printed in this unit
	printed   bool    // whether String uses it; others are only read
}

// scale is a kind of quantity: its name and its units, largest printed first.
type scale struct {
	quantity string // with article, for messages
	example  string
	units    []unit
}

// accepted lists the unit names and gives an example.
func (s *scale) accepted() string {
	names := make([]string, len(s.units))
	for i, u := range s.units {
		names[i] = u.name
	}
	list := names[len(names)-1]
	if len(names) > 1 {
		list = strings.Join(names[:len(names)-1], ", ") + " or " + list
	}
	return list + ", as in " + s.example
}

func (s *scale) fail(text, format string, args ...any) *Error {
	if len(text) > textLimitBytes {
		text = text[:textLimitBytes] + "…"
	}
	return &Error{Text: text, Quantity: s.quantity, Problem: fmt.Sprintf(format, args...), Accepted: s.accepted()}
}

// exact reads a quantity as an exact number of base units.
func (s *scale) exact(text string) (*big.Rat, error) {
	if len(text) > textLimitBytes {
		return nil, s.fail(text, "it is longer than %d characters", textLimitBytes)
	}
	figures, name := split(text)
	switch {
	case figures == "" && name == "":
		return nil, s.fail(text, "it is empty")
	case figures == "":
		return nil, s.fail(text, "it does not begin with a number")
	}
	value, problem := number(figures)
	if problem != "" {
		return nil, s.fail(text, "%s", problem)
	}
	if name == "" {
		return nil, s.fail(text, "the number has no unit")
	}
	u, found := s.find(name)
	if !found {
		return nil, s.fail(text, "%q is not one of its units", name)
	}
	return value.Mul(value, big.NewRat(u.over, u.under)), nil
}

// parse reads a quantity as the nearest float number of base units.
func (s *scale) parse(text string) (float64, error) {
	value, err := s.exact(text)
	if err != nil {
		return 0, err
	}
	f, _ := value.Float64()
	if math.IsInf(f, 0) {
		return 0, s.fail(text, "the number is too large")
	}
	return f, nil
}

// find looks a unit up by any of its spellings.
func (s *scale) find(name string) (unit, bool) {
	name = canonical(name)
	for _, u := range s.units {
		if u.name == name {
			return u, true
		}
		for _, other := range u.others {
			if other == name {
				return u, true
			}
		}
	}
	return unit{}, false
}

// lookAlikes become the code points used here: Greek mu the micro sign, the ohm sign Greek omega.
var lookAlikes = strings.NewReplacer("\u03bc", "\u00b5", "\u2126", "\u03a9")

// canonical replaces look-alike code points.
func canonical(name string) string { return lookAlikes.Replace(name) }

// format prints value base units in the largest printed unit that suits it.
func (s *scale) format(value float64) string {
	magnitude := math.Abs(value)
	var chosen unit
	for _, u := range s.units {
		if !u.printed {
			continue
		}
		chosen = u
		if magnitude >= u.printFrom || value == 0 && u.shift == 0 {
			break
		}
	}
	return shortest(value, chosen.shift) + " " + chosen.name
}
