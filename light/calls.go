package light

import (
	"slices"
	"strings"

	"lampwright/report"
)

// survey is what is known of a routine's calls.
type survey struct {
	deepest []string // names along the longest chain of calls, the routine itself first
	strokes int      // strokes reached, a routine called twice counting twice
}

// checkCalls refuses calls that go round in a circle, too deep, or to too many
// strokes.
func (r *Routine) checkCalls(where Where) *report.Diagnostic {
	known := make(map[*Routine]survey) // looked up only, never walked
	var trail []*Routine
	var calls []int // for each of trail, the stroke that calls the next
	var circle []string
	at, through := r, -1 // the routine and the stroke that close the circle
	var walk func(r *Routine) survey
	walk = func(r *Routine) survey {
		if s, ok := known[r]; ok {
			return s
		}
		if first := slices.Index(trail, r); first >= 0 {
			if circle == nil {
				for _, step := range trail[first:] {
					circle = append(circle, step.Name)
				}
				circle = append(circle, r.Name)
				at, through = trail[len(trail)-1], calls[len(trail)-1]
			}
			return survey{}
		}
		trail, calls = append(trail, r), append(calls, 0)
		var s survey
		for i, stroke := range r.Strokes {
			calls[len(calls)-1] = i
			s.strokes++
			if stroke.Kind != Call || stroke.Called == nil {
				continue
			}
			called := walk(stroke.Called)
			s.strokes = min(s.strokes+called.strokes, MaxStrokes+1)
			if len(called.deepest) > len(s.deepest) {
				s.deepest = called.deepest
			}
		}
		s.deepest = append([]string{r.Name}, s.deepest...)
		trail, calls = trail[:len(trail)-1], calls[:len(calls)-1]
		known[r] = s
		return s
	}
	s := walk(r)
	var d report.Diagnostic
	switch {
	case circle != nil:
		d = report.Errorf("call-circle", where.place(at, through), "routines call one another in a circle: %s", strings.Join(circle, " calls ")).
			Because("the light would never be settled").Do("remove one of these calls")
	case len(s.deepest) > MaxDepth:
		d = report.Errorf("call-depth", where.place(r, -1), "calls are nested %d deep: %s", len(s.deepest), strings.Join(s.deepest, " calls ")).
			Expect("at most %d", MaxDepth).Do("write the strokes of the innermost routine where it is called")
	case s.strokes > MaxStrokes:
		d = report.Errorf("call-strokes", where.place(r, -1), "routine %s reaches more than %d strokes through its calls", r.Name, MaxStrokes).
			Do("call less, or repeat one call with times instead of calling again")
	default:
		return nil
	}
	return &d
}
