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
func (r *Routine) checkCalls() *report.Diagnostic {
	known := make(map[*Routine]survey) // looked up only, never walked
	var trail []*Routine
	var circle []string
	var walk func(r *Routine) survey
	walk = func(r *Routine) survey {
		if s, ok := known[r]; ok {
			return s
		}
		if at := slices.Index(trail, r); at >= 0 {
			if circle == nil {
				for _, step := range trail[at:] {
					circle = append(circle, step.Name)
				}
				circle = append(circle, r.Name)
			}
			return survey{}
		}
		trail = append(trail, r)
		var s survey
		for _, stroke := range r.Strokes {
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
		trail = trail[:len(trail)-1]
		known[r] = s
		return s
	}
	s := walk(r)
	var d report.Diagnostic
	switch {
	case circle != nil:
		d = report.Errorf("call-circle", report.Place{}, "routines call one another in a circle: %s", strings.Join(circle, " calls ")).
			Because("the light would never be settled").Do("remove one of these calls")
	case len(s.deepest) > MaxDepth:
		d = report.Errorf("call-depth", report.Place{}, "calls are nested %d deep: %s", len(s.deepest), strings.Join(s.deepest, " calls ")).
			Expect("at most %d", MaxDepth).Do("write the strokes of the innermost routine where it is called")
	case s.strokes > MaxStrokes:
		d = report.Errorf("call-strokes", report.Place{}, "routine %s reaches more than %d strokes through its calls", r.Name, MaxStrokes).
			Do("call less, or repeat one call with times instead of calling again")
	default:
		return nil
	}
	return &d
}
