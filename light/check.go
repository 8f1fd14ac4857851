package light

import (
	"fmt"
	"math"
	"strconv"

	"lampwright/report"
)

// Where gives the place in a document of a stroke of a routine, counted from
// 0, or of the routine itself for stroke -1. A nil Where knows no places.
type Where func(r *Routine, stroke int) report.Place

func (w Where) place(r *Routine, stroke int) report.Place {
	if w == nil {
		return report.Place{}
	}
	return w(r, stroke)
}

// Check is CheckAt for a routine that stands in no document.
func (r *Routine) Check(stage *Stage) report.List { return r.CheckAt(stage, nil) }

// CheckAt gives what is wrong with a routine over a stage, and with the
// routines it calls: each stroke's faults, calls that go round in a circle or
// too deep, and strokes outside the routine's length. The texts name routine
// and stroke.
func (r *Routine) CheckAt(stage *Stage, where Where) report.List {
	if d := r.checkCalls(where); d != nil {
		return report.List{*d}
	}
	var wrong report.List
	r.check(stage, where, &wrong, make(map[*Routine]bool))
	return wrong
}

func (r *Routine) check(stage *Stage, where Where, wrong *report.List, done map[*Routine]bool) {
	if done[r] {
		return
	}
	done[r] = true
	if len(r.Strokes) == 0 {
		wrong.Add(report.Errorf("no-stroke", where.place(r, -1), "routine %s has no stroke", r.Name).Do("add a stroke"))
	}
	if !(r.LengthMS >= 0) || math.IsInf(r.LengthMS, 0) {
		wrong.Add(report.Errorf("length", where.place(r, -1), "routine %s has a length of %s", r.Name, ms(r.LengthMS)).Do("give a length above 0 ms, or none"))
		return
	}
	for i := range r.Strokes {
		s := &r.Strokes[i]
		own := s.Check(stage)
		if !own.HasErrors() {
			own = append(own, s.checkSpan(r.Length())...)
		}
		for _, d := range own {
			d.Place = where.place(r, i)
			d.Text = fmt.Sprintf("routine %s, stroke %d (%s): %s", r.Name, i+1, s.Kind, d.Text)
			wrong.Add(d)
		}
		if s.Kind == Call && s.Called != nil {
			s.Called.check(stage, where, wrong, done)
		}
	}
}

// checkSpan looks at the stroke against the routine's length, ms.
func (s *Stroke) checkSpan(lengthMS float64) report.List {
	var wrong report.List
	last := s.lastMS(1)
	every := s.EveryMS
	if every == 0 {
		every = last
	}
	lastStart := s.StartMS + float64(every*float64(s.times()-1))
	if s.times() > 1 && every < last {
		wrong.Add(report.Errorf("times", report.Place{}, "it starts again after %s, before its %s are over", ms(every), ms(last)).
			Do("start it every %s or more, or make it shorter", ms(last)))
	}
	switch {
	case s.StartMS >= lengthMS:
		wrong.Add(report.Cautionf("never-seen", report.Place{}, "it starts at %s, when the routine of %s is over", ms(s.StartMS), ms(lengthMS)).
			Do("start it earlier, or make the routine longer"))
	case lastStart+last > lengthMS+near:
		wrong.Add(report.Cautionf("cut-short", report.Place{}, "it ends at %s, but the routine is over at %s", ms(lastStart+last), ms(lengthMS)).
			Do("make the routine %s long, or the stroke shorter", ms(lastStart+last)))
	}
	return wrong
}

// ms writes a time for a message, to a hundredth of a millisecond.
func ms(t float64) string {
	return strconv.FormatFloat(math.Round(t*100)/100, 'f', -1, 64) + " ms"
}
