package web

import (
	"lampwright/script"
	"lampwright/units"
)

// course is a script as a window draws it: what is asked for when, ms from its start.
type course struct {
	MS         float64           `json:"ms"` // until the last press or condition ends
	Presses    []courseRow       `json:"presses"`
	Conditions []courseCondition `json:"conditions"`
}

type courseRow struct {
	Input string       `json:"input"`
	Spans [][2]float64 `json:"spans"`
}

type courseCondition struct {
	Says string      `json:"says"`
	Span *[2]float64 `json:"span"` // nil: throughout
}

// mostSpans is how many spans of one input are drawn one by one; of more, whole presses are.
const mostSpans = 1000

// courseOf gives a script to be drawn. Chatter of contacts is left out.
func courseOf(line script.Script) *course {
	c := &course{MS: line.Len().Milliseconds(), Presses: []courseRow{}, Conditions: []courseCondition{}}
	clean := script.Script{}
	for _, p := range line.Presses {
		p.Bounce = 0
		clean.Presses = append(clean.Presses, p)
	}
	unrolled := clean.Timeline(0)
	for i := range clean.Presses {
		clean.Presses[i].Flash = script.Flash{}
	}
	whole := clean.Timeline(0)
	for _, input := range line.Inputs() {
		spans := unrolled.Spans(input)
		if len(spans) > mostSpans {
			spans = whole.Spans(input)
		}
		row := courseRow{Input: input, Spans: [][2]float64{}}
		for _, s := range spans {
			row.Spans = append(row.Spans, span(s.From, s.To))
		}
		c.Presses = append(c.Presses, row)
	}
	for _, w := range line.World {
		one := courseCondition{}
		if !w.Always() {
			times := span(w.From, w.To)
			one.Span = &times
		}
		w.From, w.To = 0, 0
		one.Says = w.String()
		c.Conditions = append(c.Conditions, one)
	}
	return c
}

func span(from, to units.Time) [2]float64 {
	return [2]float64{from.Milliseconds(), to.Milliseconds()}
}
