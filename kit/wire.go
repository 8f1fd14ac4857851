package kit

import (
	"cmp"
	"slices"
	"strings"

	"lampwright/feed"
	"lampwright/job"
	"lampwright/script"
	"lampwright/units"
)

// feed resolves what a factory wire does. A wire of which nothing is written is steady, a turn wire flashes, a show hangs on a relay.
func (b *builder) feed(in *Input, written *job.Feed) {
	in.FeedAt = in.At
	if written == nil {
		switch {
		case in.Road == "":
			in.Feed.Kind = feed.Relay
		case strings.HasPrefix(in.Road, "turn-"):
			in.Feed.Kind = feed.Flasher
		default:
			in.Feed.Kind = feed.Steady
		}
		return
	}
	in.FeedAt = written.Where
	in.Feed = feed.Feed{
		Kind:     feed.Kind(written.Kind),
		Dimmed:   feed.Pulses{Duty: written.Duty.Value, At: written.Frequency.Value},
		Bounce:   written.Bounce.Value,
		PullDown: written.PullDown.Value,
	}
	if c := written.Chopped; c != nil {
		in.Feed.Chopped = feed.Chopping{Above: c.Above, Pulses: feed.Pulses{Duty: c.Duty, At: c.Frequency}}
	}
	if p := written.TestPulse; p != nil {
		in.Feed.TestPulse = feed.TestPulse{Width: p.Width, Every: p.Every.Value}
	}
	if l := written.Leak; l != nil {
		in.Feed.Leak = feed.Leak{Volts: l.Volts, Through: l.Through.Value}
	}
	b.placed(in.Feed.Check(), in.FeedAt)
}

// Wire gives what the factory wires do while inputs are asked for as a script says: the script's presses as each wire's feed shapes
// them, from time 0 up to until. Events are sorted by time, then in the order of the kit's inputs.
func (k *Kit) Wire(line *script.Timeline, until units.Time, c feed.Conditions) []script.Event {
	var events []script.Event
	for i, in := range k.Inputs {
		if in.Shares != nil {
			continue // its wire is another's
		}
		each := c
		each.Seed += uint64(i)
		edges := in.Edges(line, until, each)
		if in.CarriesStop {
			edges = feed.Either(edges, k.carried(in, line, until, each))
		}
		for _, other := range k.Inputs {
			if other.Shares == in {
				edges = feed.Either(edges, other.Edges(line, until, each))
			}
		}
		for _, e := range edges {
			events = append(events, script.Event{At: e.At, Input: in.Name, On: e.High})
		}
	}
	slices.SortStableFunc(events, func(a, b script.Event) int { return cmp.Compare(a.At, b.At) })
	return events
}

// Edges gives what one factory wire does under a script; see Kit.Wire. High means that it asks, whatever its active level.
func (in *Input) Edges(line *script.Timeline, until units.Time, c feed.Conditions) []feed.Edge {
	var spans []feed.Span
	for _, s := range line.Spans(in.Name) {
		spans = append(spans, feed.Span{From: s.From, To: s.To})
	}
	return feed.Wave(in.Feed, spans, until, c)
}

// LeverGap is the longest dark time between two flashes of one use of the lever: 60 a minute, lit for 30 % (FMVSS 108, S9.3.1 by way
// of SAE J590, from memory), and a margin.
const LeverGap = 1000 * units.Millisecond

// carried gives what the brake does to a turn wire that carries it: the wire is high with the brake, but from the first flash of the
// lever to the last the flasher has it.
func (k *Kit) carried(in *Input, line *script.Timeline, until units.Time, c feed.Conditions) []feed.Edge {
	var lever []feed.Span
	for _, s := range line.Spans(in.Name) {
		if n := len(lever); n > 0 && s.From-lever[n-1].To < LeverGap {
			lever[n-1].To = s.To
		} else {
			lever = append(lever, feed.Span{From: s.From, To: s.To})
		}
	}
	var brake []feed.Span
	for _, stop := range k.Inputs {
		if stop.Road != "stop" || in.Reference != nil && stop != in.Reference {
			continue
		}
		for _, s := range line.Spans(stop.Name) {
			from := s.From
			for _, l := range lever {
				if l.To <= from || l.From >= s.To {
					continue
				}
				if l.From > from {
					brake = append(brake, feed.Span{From: from, To: l.From})
				}
				from = l.To
			}
			if from < s.To {
				brake = append(brake, feed.Span{From: from, To: s.To})
			}
		}
	}
	steady := in.Feed
	steady.Kind, steady.Dimmed, steady.TestPulse = feed.Steady, feed.Pulses{}, feed.TestPulse{} // the turn's own wave has the test pulses
	return feed.Wave(steady, brake, until, c)
}
