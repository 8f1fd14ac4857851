package script

import (
	"cmp"
	"hash/fnv"
	"math/rand/v2"
	"slices"
	"sort"

	"lampwright/units"
)

// Span is a time during which an input is on: from From up to, and not at, To.
type Span struct {
	Input    string
	From, To units.Time
}

// Event is one change of an input.
type Event struct {
	At    units.Time
	Input string
	On    bool
}

// Timeline is a script unrolled: what every input is at every time, and what the car does beside.
type Timeline struct {
	inputs []string          // sorted
	spans  map[string][]Span // by input, sorted, neither touching nor overlapping
	world  []Condition       // in the order written
}

// Chatter of a contact: each touch and each gap lasts between these two. Common practice, no source.
const (
	chatterMin = 100 * units.Microsecond
	chatterMax = 700 * units.Microsecond
)

// mostEvents is the most changes that the press can unroll into.
func (p Press) mostEvents() int64 {
	edges := int64(2)
	if p.Flash.Rate > 0 {
		edges = 2 * (int64(p.To-p.From)*int64(p.Flash.Rate)/flashPeriod + 1)
	}
	return edges * (1 + int64(p.Bounce/chatterMin))
}

// Timeline unrolls flashes and bounces. The seed decides how contacts chatter: the same script and seed always give the
// same timeline, and what one press does depends on no other press.
func (s Script) Timeline(seed uint64) *Timeline {
	t := &Timeline{spans: map[string][]Span{}, world: slices.Clone(s.World)}
	for _, p := range s.Presses {
		spans := p.unroll()
		if p.Bounce > 0 {
			spans = p.chatter(spans, seed)
		}
		t.spans[p.Input] = append(t.spans[p.Input], spans...)
	}
	for input, spans := range t.spans {
		t.inputs = append(t.inputs, input)
		t.spans[input] = merge(spans)
	}
	slices.Sort(t.inputs)
	return t
}

// unroll gives the times that the press is on, bounce left out.
func (p Press) unroll() []Span {
	if p.Flash.Rate == 0 {
		return []Span{{p.Input, p.From, p.To}}
	}
	var spans []Span
	for k := int64(0); ; k++ {
		from := p.From + p.Flash.onAt(k)
		if from >= p.To {
			return spans
		}
		spans = append(spans, Span{p.Input, from, min(p.From+p.Flash.offAt(k), p.To)})
	}
}

// chatter breaks each edge of the spans into touches and gaps. A touch never lasts past the span that follows.
func (p Press) chatter(clean []Span, seed uint64) []Span {
	h := fnv.New64a()
	h.Write([]byte(p.String()))
	random := rand.New(rand.NewPCG(seed, h.Sum64()))
	wait := func() units.Time { return chatterMin + units.Time(random.Int64N(int64(chatterMax-chatterMin)+1)) }
	var spans []Span
	for i, s := range clean {
		on, until := s.From, min(s.From+p.Bounce, s.To)
		for {
			gap := on + wait()
			again := gap + wait()
			if again >= until {
				break
			}
			spans = append(spans, Span{p.Input, on, gap})
			on = again
		}
		spans = append(spans, Span{p.Input, on, s.To})
		off, until := s.To, s.To+p.Bounce
		if i+1 < len(clean) {
			until = min(until, clean[i+1].From)
		}
		for {
			touch := off + wait()
			apart := touch + wait()
			if apart >= until {
				break
			}
			spans = append(spans, Span{p.Input, touch, apart})
			off = apart
		}
	}
	return spans
}

// merge sorts spans and joins those that touch or overlap.
func merge(spans []Span) []Span {
	slices.SortFunc(spans, func(a, b Span) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To)) })
	var out []Span
	for _, s := range spans {
		if n := len(out); n > 0 && s.From <= out[n-1].To {
			out[n-1].To = max(out[n-1].To, s.To)
			continue
		}
		out = append(out, s)
	}
	return out
}

// Level tells whether an input is on at a time. Inputs that the script does not press are off.
func (t *Timeline) Level(input string, at units.Time) bool {
	spans := t.spans[input]
	i := sort.Search(len(spans), func(i int) bool { return spans[i].To > at })
	return i < len(spans) && spans[i].From <= at
}

// Inputs gives the names of the inputs that are pressed at some time, sorted.
func (t *Timeline) Inputs() []string { return slices.Clone(t.inputs) }

// Spans gives the times that an input is on, sorted, neither touching nor overlapping.
func (t *Timeline) Spans(input string) []Span { return slices.Clone(t.spans[input]) }

// Pressed gives the inputs that are on at a time, sorted.
func (t *Timeline) Pressed(at units.Time) []string {
	var on []string
	for _, input := range t.inputs {
		if t.Level(input, at) {
			on = append(on, input)
		}
	}
	return on
}

// Events gives every change, sorted by time, then by input.
func (t *Timeline) Events() []Event {
	var events []Event
	for _, input := range t.inputs {
		for _, s := range t.spans[input] {
			events = append(events, Event{s.From, input, true}, Event{s.To, input, false})
		}
	}
	slices.SortFunc(events, func(a, b Event) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Input, b.Input)) })
	return events
}

// End is the time of the last change, of an input or of a condition.
func (t *Timeline) End() units.Time {
	var end units.Time
	for _, c := range t.world {
		end = max(end, c.To)
	}
	for _, spans := range t.spans {
		if n := len(spans); n > 0 {
			end = max(end, spans[n-1].To)
		}
	}
	return end
}
