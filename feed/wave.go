package feed

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"lampwright/units"
)

// Span is a time during which a wire is meant to be on: from From up to, and not at, To.
type Span struct {
	From, To units.Time
}

// Edge is a change of what a wire does electrically.
type Edge struct {
	At   units.Time
	High bool
}

// Conditions are what a wave depends on besides its feed.
type Conditions struct {
	Supply units.Voltage // a chopped wire is pulsed when the supply is above its voltage
	Seed   uint64        // decides phases and bounce: the same seed gives the same wave
}

// Chatter of a contact: each touch and each gap lasts between these two. Common practice, no source.
const (
	chatterMin = 100 * units.Microsecond
	chatterMax = 700 * units.Microsecond
)

// singleWithin is how soon after the wire went off its single test pulse comes. Common practice, no source.
const singleWithin = 100 * units.Millisecond

// What a random stream is for, so that one does not disturb another.
const (
	forPhase = iota
	forBounce
	forTest
)

// Wave gives what the wire does from time 0 up to, and not at, until, while it is meant to be on during the given spans (in any
// order; they may overlap). The wire is low at first; edges alternate and ascend. Pulses begin at a random phase with each span,
// test pulses with each time between spans. What one span does depends on no later one, except where they touch. The feed must
// pass Check.
func Wave(f Feed, on []Span, until units.Time, c Conditions) []Edge {
	w := wave{feed: f, conditions: c, until: until, meant: merge(on, until)}
	for i, s := range w.meant {
		w.span(i, s)
	}
	w.tests()
	var edges []Edge
	for _, s := range merge(w.high, until) {
		edges = append(edges, Edge{s.From, true})
		if s.To < until {
			edges = append(edges, Edge{s.To, false})
		}
	}
	return edges
}

type wave struct {
	feed       Feed
	conditions Conditions
	until      units.Time
	meant      []Span
	high       []Span
}

// random gives the stream of one purpose that belongs to a time.
func (w *wave) random(purpose uint64, at units.Time) *rand.Rand {
	return rand.New(rand.NewPCG(w.conditions.Seed, uint64(at)<<2|purpose))
}

// span adds what the wire does for one span: touches of the contact, each cut into pulses.
func (w *wave) span(i int, s Span) {
	next := w.until
	if i+1 < len(w.meant) {
		next = w.meant[i+1].From
	}
	touches := w.touches(s, next)
	p, pulsed := w.feed.Pulsed()
	if !pulsed || w.feed.Chopped != (Chopping{}) && w.conditions.Supply <= w.feed.Chopped.Above {
		w.high = append(w.high, touches...)
		return
	}
	exact := 1e9 / float64(p.At)
	period, width := int64(math.Round(exact)), int64(math.Round(exact*float64(p.Duty)))
	phase := w.random(forPhase, s.From).Int64N(period)
	for _, t := range touches {
		from, to := int64(t.From-s.From)*1000, int64(t.To-s.From)*1000 // ns after the span's start
		for k := (from + phase) / period; ; k++ {
			start := k*period - phase
			if start >= to {
				break
			}
			high := Span{s.From + units.Time(max(start, from)/1000), s.From + units.Time(min(start+width, to)/1000)}
			if high.To > high.From {
				w.high = append(w.high, high)
			}
		}
	}
}

// touches gives the times that the contact is closed: the span, with bounce after both edges, none of it past next.
func (w *wave) touches(s Span, next units.Time) []Span {
	if w.feed.Bounce == 0 {
		return []Span{s}
	}
	random := w.random(forBounce, s.From)
	wait := func() units.Time { return chatterMin + units.Time(random.Int64N(int64(chatterMax-chatterMin)+1)) }
	var out []Span
	at, until := s.From, min(s.From+w.feed.Bounce, s.To)
	for {
		gap := at + wait()
		again := gap + wait()
		if again >= until {
			break
		}
		out = append(out, Span{at, gap})
		at = again
	}
	out = append(out, Span{at, s.To})
	at, until = s.To, min(s.To+w.feed.Bounce, next)
	for {
		touch := at + wait()
		apart := touch + wait()
		if apart >= until {
			return out
		}
		out = append(out, Span{touch, apart})
		at = apart
	}
}

// tests adds the test pulses of the times between spans, bounce left out. A pulse under way when a span begins runs into it.
func (w *wave) tests() {
	t := w.feed.TestPulse
	if t.Width == 0 {
		return
	}
	quiet := func(from, to units.Time) {
		if to <= from {
			return
		}
		random := w.random(forTest, from)
		if t.Every == 0 {
			at := from + units.Time(random.Int64N(int64(singleWithin)))
			if at < to {
				w.high = append(w.high, Span{at, min(at+t.Width, to)})
			}
			return
		}
		for at := from + units.Time(random.Int64N(int64(t.Every))); at < to; at += t.Every {
			w.high = append(w.high, Span{at, min(at+t.Width, to)})
		}
	}
	from := units.Time(0)
	for _, s := range w.meant {
		quiet(from, s.From)
		from = s.To + w.feed.Bounce
	}
	quiet(from, w.until)
}

// merge sorts spans, cuts them to 0 .. until, and joins those that touch or overlap.
func merge(spans []Span, until units.Time) []Span {
	sorted := slices.Clone(spans)
	slices.SortFunc(sorted, func(a, b Span) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.To, b.To)) })
	var out []Span
	for _, s := range sorted {
		s.From, s.To = max(s.From, 0), min(s.To, until)
		if s.To <= s.From {
			continue
		}
		if n := len(out); n > 0 && s.From <= out[n-1].To {
			out[n-1].To = max(out[n-1].To, s.To)
			continue
		}
		out = append(out, s)
	}
	return out
}
