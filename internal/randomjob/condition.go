package randomjob

import (
	"fmt"
	"strings"

	"lampwright/script"

	"pgregory.net/rapid"
)

// crankMS is the shortest start of an engine that a script takes, ms.
const crankMS = 170

// Conditions draws what the car does beside the presses, and what breaks: up to five conditions on what a job names, for a time or
// throughout, in the words of a script. The script must be longer than a start of the engine. A strap is what it is throughout: at what
// moment of its start a module asks it is no promise.
func Conditions(t *rapid.T, names script.Names, lengthMS int) string {
	var words []string
	for range rapid.IntRange(0, 5).Draw(t, "conditions") {
		word := drawCondition(t, names)
		if word == "" {
			continue // of a thing that the job has not
		}
		shortest, longest := 1, lengthMS
		switch crank := strings.HasSuffix(word, script.Crank); {
		case crank:
			shortest = crankMS
		case strings.HasPrefix(word, string(script.Strap)) || rapid.IntRange(0, 5).Draw(t, "throughout") == 0:
			words = append(words, word)
			continue
		case rapid.Bool().Draw(t, "for a moment"): // as a dip is
			longest = min(longest, 60)
		}
		from := rapid.IntRange(0, lengthMS-shortest).Draw(t, "since ms")
		to := from + rapid.IntRange(shortest, max(shortest, min(longest, lengthMS-from))).Draw(t, "lasts ms")
		words = append(words, fmt.Sprintf("%s@%dms..%dms", word, from, to))
	}
	return strings.Join(words, " ")
}

// drawCondition draws what one thing is, or gives "" where the job has no such thing.
func drawCondition(t *rapid.T, names script.Names) string {
	what := rapid.SampledFrom([]script.What{script.Supply, script.Supply, script.Heat, script.Battery, script.Feed, script.Tap,
		script.Output, script.Link, script.Strap, script.Module}).Draw(t, "what")
	one := func(words ...string) string { return rapid.SampledFrom(words).Draw(t, "is") }
	places := names.Where[what]
	switch {
	case what == script.Supply:
		if rapid.IntRange(0, 3).Draw(t, "crank") == 0 {
			return "supply=" + script.Crank
		}
		return fmt.Sprintf("supply=%gV", float64(rapid.IntRange(0, 280).Draw(t, "tenths of a volt"))/10)
	case what == script.Link && len(places) > 0 && rapid.Bool().Draw(t, "the wire"):
		return "link=" + one(script.Low, script.AtSupply)
	case len(places) == 0:
		return ""
	}
	is := fmt.Sprintf("%dC", rapid.IntRange(-20, 130).Draw(t, "degrees"))
	switch what {
	case script.Battery:
		is = script.Gone
	case script.Feed, script.Link:
		is = script.Open
	case script.Tap:
		is = one(script.Open, script.AtGround, script.AtSupply)
	case script.Output:
		is = one(script.Open, script.On)
	case script.Strap:
		is = one(script.Missing, script.LH, script.RH)
	case script.Module:
		is = script.Dead
	}
	return fmt.Sprintf("%s:%s=%s", what, rapid.SampledFrom(places).Draw(t, "where"), is)
}
