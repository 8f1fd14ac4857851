package session

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/kit"
	"lampwright/report"
)

// mostSwitches is how many switches that nothing answers are told of.
const mostSwitches = 3

// Ask is something that the car or a switch could ask for and nothing answers yet, and what the command ask would make of it.
type Ask struct {
	Input string
	Show  bool        // for a show, not a road signal
	Also  string      // the turn of the other side that comes with it, or ""
	Why   report.List // why the command refuses it; none: it would do it
}

// Asks gives what could be asked for in a job that stands: road signals that some lamp with a module could answer or that are wired, in the
// order of their rank, then switches that are wired and one that is not. Each is tried as the command would do it, on a copy.
func Asks(s *State) []Ask {
	if s.Kit == nil || len(s.Seen.Modules) == 0 {
		return nil
	}
	var asks []Ask
	try := func(input string, show bool) {
		_, also, faults := askedFor(s, input)
		asks = append(asks, Ask{Input: input, Show: show, Also: strings.TrimPrefix(also, " and "), Why: faults})
	}
	answered, bars := map[*kit.Input]bool{}, map[*kit.Input]bool{}
	for _, l := range s.Seen.Layers {
		answered[l.Input] = true
		for _, in := range l.NotWhile {
			bars[in] = true
		}
	}
	for _, road := range rank {
		q := asking{s: s, input: road, road: true}
		in := slices.IndexFunc(s.Seen.Inputs, func(in *kit.Input) bool { return in.Name == road })
		wired := in >= 0 && len(s.Seen.Inputs[in].Pins) > 0
		if (in < 0 || !answered[s.Seen.Inputs[in]]) && (wired || len(q.needing()) > 0) {
			try(road, false)
		}
	}
	switches := 0
	for _, in := range s.Seen.Inputs {
		if !slices.Contains(kit.Roads, in.Name) && !answered[in] && !bars[in] && switches < mostSwitches { // an input that only cuts shows asks for none
			try(in.Name, true)
			switches++
		}
	}
	n := 1
	for slices.ContainsFunc(s.Seen.Inputs, func(in *kit.Input) bool { return in.Name == fmt.Sprintf("remote-%d", n) }) {
		n++
	}
	try(fmt.Sprintf("remote-%d", n), true)
	return asks
}
