package job

import (
	"fmt"
	"strconv"
	"strings"

	"lampwright/report"
	"lampwright/source"
)

// Region names a part of the light: a zone, a pattern or a group, of any lamp
// or of one, whole or in part.
//
//	arrow            everything called arrow
//	tail-lh.arrow    that of one lamp
//	edge.3           the third group of edge
//	edge.1..4        its first four groups
//	tail-lh.edge.1..4
//
// Whether the first of two names is a lamp is for the reader of the whole
// document to see.
type Region struct {
	Text  string
	Names []string // one or two
	Part  *Run     // the groups meant, counted from 1; nil = all
	Where report.Place
}

// regionExpected says what a region looks like.
const regionExpected = "a name such as arrow, tail-lh.arrow, edge.3 or edge.1..4"

// String gives the region as written.
func (r Region) String() string { return r.Text }

// DecodeSource reads a region.
func (r *Region) DecodeSource(v source.Value) {
	if v.Kind() != source.Scalar {
		v.Fail("", regionExpected)
		return
	}
	read, problem := ParseRegion(v.Text())
	if problem != "" {
		v.Fail(problem, regionExpected)
		return
	}
	read.Where = v.Place()
	if read.Part != nil {
		read.Part.Where = read.Where
	}
	*r = read
}

// ParseRegion reads a region from text. The problem is "" when all is well.
func ParseRegion(text string) (r Region, problem string) {
	r.Text = text
	rest := text
	for rest != "" {
		if rest[0] >= '0' && rest[0] <= '9' {
			run, problem := parseRun(rest, LEDLimit)
			if problem != "" {
				return Region{}, problem
			}
			r.Part, rest = &run, ""
			break
		}
		name, after, more := strings.Cut(rest, ".")
		if problem := source.NameProblem(name); problem != "" {
			return Region{}, "the name " + strconv.Quote(name) + " cannot be one: " + problem
		}
		if more && after == "" {
			return Region{}, "it ends in a full stop"
		}
		r.Names, rest = append(r.Names, name), after
	}
	switch {
	case len(r.Names) == 0:
		return Region{}, "it names nothing"
	case len(r.Names) > 2:
		return Region{}, "it has more than two names"
	}
	return r, ""
}

// Run is a run of whole numbers in either direction: 1..12, 12..1, or 7 alone.
type Run struct {
	First, Last int // both included
	Where       report.Place
}

// Len gives how many numbers the run holds.
func (r Run) Len() int { return max(r.Last-r.First, r.First-r.Last) + 1 }

// Numbers lists the run's numbers in its order.
func (r Run) Numbers() []int {
	numbers := make([]int, 0, r.Len())
	step := 1
	if r.Last < r.First {
		step = -1
	}
	for n := r.First; ; n += step {
		numbers = append(numbers, n)
		if n == r.Last {
			return numbers
		}
	}
}

// String gives the run in the document's form.
func (r Run) String() string {
	if r.First == r.Last {
		return strconv.Itoa(r.First)
	}
	return fmt.Sprintf("%d..%d", r.First, r.Last)
}

// parseRun reads a run whose numbers lie between 1 and limit.
func parseRun(text string, limit int) (Run, string) {
	first, last, many := strings.Cut(strings.TrimSpace(text), "..")
	if !many {
		last = first
	}
	from, problem := ordinal(first, limit)
	if problem != "" {
		return Run{}, problem
	}
	to, problem := ordinal(last, limit)
	return Run{First: from, Last: to}, problem
}

// ordinal reads a number between 1 and limit.
func ordinal(text string, limit int) (int, string) {
	n, err := strconv.Atoi(text)
	if err != nil || strconv.Itoa(n) != text {
		return 0, strconv.Quote(text) + " is not a whole number"
	}
	if n < 1 || n > limit {
		return 0, fmt.Sprintf("%d does not lie between 1 and %d", n, limit)
	}
	return n, ""
}
