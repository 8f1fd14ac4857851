package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lampwright/board"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/report"
)

type scopeCommand struct {
	Record string `arg:"" help:"A scope record as CSV: time and volts of one wire of the car."`
	Board  string `help:"The board that will read the wire; its input tells high from low." default:"chain-32" placeholder:"NAME"`
	Road   string `help:"The road function of the wire: tail, stop, turn-lh, turn-rh, reverse, drl or fog; left out, a show switch." placeholder:"INPUT"`
	JSON   bool   `name:"json" help:"Print the result as one JSON object."`
}

func (scopeCommand) Help() string {
	return `Reads a record of one factory wire, says what the wire does and what the record cannot tell, and prints the feed to write
under the input of the job. It also says how the module would read the wire, and how much later it answers; with --road as the wire
of that road function, which it reads faster than a switch.

Examples:

  lampwright scope tail-wire.csv --road tail
  lampwright scope brake.csv --road stop --board pins --json`
}

// scoped is the result as JSON tells it.
type scoped struct {
	Summary string      `json:"summary"`
	Feed    string      `json:"feed"`             // as it is written in a job
	Second  string      `json:"second,omitempty"` // the input of a second function on the same wire, as it is written in a job
	Filter  string      `json:"filter,omitempty"`
	OnMS    float64     `json:"on_delay_ms,omitempty"`
	OffMS   float64     `json:"off_delay_ms,omitempty"`
	Doubts  report.List `json:"doubts"`
}

func (c scopeCommand) Run(e *env) error {
	b, err := board.Find(c.Board)
	if err != nil {
		e.problem(err.Error(), "leave --board out, or name one of the boards")
		return badUsage
	}
	if c.Road != "" && !slices.Contains(kit.Roads, c.Road) {
		next := "name one of " + strings.Join(kit.Roads, ", ") + ", or leave --road out for a show switch"
		if near := report.Suggest(c.Road, kit.Roads); near != "" {
			next = "did you mean " + near + "? " + next
		}
		e.problem(fmt.Sprintf("there is no road function %q", c.Road), next)
		return badUsage
	}
	text, err := readBounded(c.Record, feed.MaxScopeBytes)
	if err != nil {
		return e.fileProblem("read", c.Record, err)
	}
	record, list := feed.ReadScope(c.Record, text)
	if list.HasErrors() {
		if err := e.diagnostics(e.err, list); err != nil {
			return err
		}
		return found
	}
	levels, _, _ := feed.Electrical(feed.Feed{Kind: feed.Steady}, b.Input)
	s := record.Sum(levels)
	out := scoped{Summary: s.String(), Feed: s.Feed.Written(), Doubts: append(append(report.List{}, list...), s.Doubts...)}
	_, _, wire := feed.Electrical(s.Feed, b.Input)
	out.Doubts = append(out.Doubts, wire...)
	road := c.Road
	if s.Shared {
		if road == "stop" || road == "" { // the tail dims the wire, and stop is its full light
			road = "tail"
		}
		out.Second = fmt.Sprintf("{shares: %s, feed: %s}", road, s.Second.Written())
		out.Doubts = append(out.Doubts, s.Tells()...)
	}
	filter, delay, said := feed.FilterFor(s.Feed, road)
	out.Doubts = append(out.Doubts, said...)
	if !said.HasErrors() {
		out.Filter, out.OnMS, out.OffMS = filter.String(), delay.On.Milliseconds(), delay.Off.Milliseconds()
	}
	if err := c.tell(e, out); err != nil {
		return err
	}
	return judged(out.Doubts).orNil()
}

func (c scopeCommand) tell(e *env, out scoped) error {
	if c.JSON {
		return e.json(out)
	}
	e.say("%s: %s", c.Record, out.Summary)
	e.say("feed: %s", out.Feed)
	if out.Second != "" {
		e.say("the second function, as stop on a tail wire: %s, at most %g ms later on and off", out.Second, feed.SharedDelay.On.Milliseconds())
	}
	if out.Filter != "" {
		e.say("the module answers at most %.0f ms later on, %.0f ms later off (filter: %s)", math.Ceil(out.OnMS), math.Ceil(out.OffMS), out.Filter)
	}
	if len(out.Doubts) > 0 {
		e.say("")
		return e.diagnostics(e.out, out.Doubts)
	}
	return nil
}
