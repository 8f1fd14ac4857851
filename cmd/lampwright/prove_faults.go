package main

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/kit"
	"lampwright/proof"
	"lampwright/report"
	"lampwright/script"
)

// stood is how a job stands single faults, as JSON tells it.
type stood struct {
	Held    bool         `json:"held"`
	Scripts int          `json:"scripts"`
	Plays   int          `json:"plays"`
	Runs    int          `json:"hex_runs"`
	Faults  []stoodFault `json:"faults"`
	Assumed []string     `json:"assumed"`
}

type stoodFault struct {
	Fault    string       `json:"fault"` // as a script says it; "" without a fault
	What     string       `json:"what"`
	Verdict  proof.Stand  `json:"verdict"`
	Losses   []stoodLoss  `json:"losses"`
	Breaches []stoodBreak `json:"breaches"`
	Mend     string       `json:"mend,omitempty"`
	OnHEX    bool         `json:"on_hex"`
	Problems []string     `json:"problems"`
}

type stoodLoss struct {
	Function string    `json:"function"`
	Lamp     string    `json:"lamp"`
	How      proof.How `json:"how"`
	DarkMS   int       `json:"dark_ms,omitempty"`
	Percent  int       `json:"light_percent,omitempty"`
	Script   string    `json:"script"`
}

type stoodBreak struct {
	Rule     proof.Rule `json:"rule"`
	Function string     `json:"function"`
	Lamps    []string   `json:"lamps"`
	What     string     `json:"what"`
	Script   string     `json:"script"`
	Mend     string     `json:"next"`
}

// faults proves the job against every single fault.
func (c proveCommand) faults(e *env) error {
	if c.Script != "" {
		e.problem("--faults brings its own presses", "leave --script out, or play the fault itself: prove --script \"battery:MODULE=gone stop@1s..2s\"")
		return badUsage
	}
	if err := c.supplied(e); err != nil {
		return err
	}
	built, err := e.ready(c.Job, c.JSON)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(built.kit.Inputs, func(in *kit.Input) bool { return in.Road != "" }) {
		e.problem("the job has no road signal: there is nothing that a fault could take", "wire an input stop, tail, turn-lh, turn-rh, reverse, drl or fog; shows alone are not tried")
		return found
	}
	cache, done := e.cache()
	defer done()
	if !c.Quick { // told before the search, not after it
		if _, err := proof.Prepare(e.ctx, cache); err != nil {
			return e.notProven(err)
		}
	}
	r, err := proof.FaultTrial{
		Kit: built.kit, Compiled: built.result, Wires: c.conditions(), HEX: !c.Quick, Cache: cache, Progress: e.faultProgress(),
	}.Run(e.ctx)
	if err != nil {
		return e.notProven(err)
	}
	if c.JSON {
		err = e.json(stoodOf(r))
	} else {
		err = c.tellFaults(e, r)
	}
	if err == nil && !r.Held() {
		err = unproven
	}
	return err
}

// faultStep is from how many faults to how many a line of progress is told.
const faultStep = 50

// faultProgress tells how far the trial is, now and then and at its end.
func (e *env) faultProgress() func(proof.FaultProgress) {
	return func(p proof.FaultProgress) {
		switch {
		case p.Runs > 0 && (p.Run%10 == 0 || p.Run == p.Runs):
			e.tell("simulated %d runs of %d", p.Run, p.Runs)
		case p.Runs == 0 && (p.Tried%faultStep == 0 || p.Tried == p.Faults):
			e.tell("tried %d faults of %d", p.Tried, p.Faults)
		}
	}
}

// tellFaults prints what breaks a rule, then what leaves less, then what changes nothing.
func (c proveCommand) tellFaults(e *env, r *proof.FaultReport) error {
	count := map[proof.Stand]int{}
	for _, s := range r.Standings {
		if !s.None() || s.Verdict() == proof.Broken {
			count[s.Verdict()]++
		}
		if s.Verdict() == proof.Broken {
			c.tellBroken(e, s)
		}
	}
	for _, loss := range weaker(r) {
		e.say("weaker  %s", strings.ReplaceAll(loss.what, "; ", "\n        "))
		for _, fault := range loss.faults {
			e.say("          %s", fault)
		}
	}
	e.say("held    %s", report.Folded(strings.Join(held(r), ", "), "        "))
	for _, a := range r.Assumed {
		e.say("assumed: %s", report.Folded(a, "         "))
	}
	where := fmt.Sprintf("on the engine, and on the HEX in %d runs, word by word", r.Runs)
	if c.Quick {
		where = "on the engine alone (--quick)"
	}
	e.say("%d faults: %d held, %d weaker, %d broken", len(r.Standings)-1, count[proof.Held], count[proof.Weaker], count[proof.Broken])
	e.say("tried one at a time, under %d scripts each, %s", r.Scripts, where)
	if count[proof.Broken] > 0 {
		e.problem("a single fault takes more than it may", "mend what is told above, then run it again")
	}
	return nil
}

// tellBroken tells a fault that breaks a rule.
func (c proveCommand) tellBroken(e *env, s proof.Standing) {
	at := ""
	if !s.At.IsZero() {
		at = s.At.String() + ": "
	}
	e.say("BROKEN  %s%s", at, s.What)
	for _, b := range s.Breaches {
		e.say("  %s", b.What)
		e.say("  see: lampwright play %s --script \"%s\"", shown(c.Job), b.Script)
		e.say("  next: %s", b.Mend)
	}
	for _, p := range s.Problems {
		e.say("  %s", p)
	}
	if len(s.Problems) > 0 {
		e.say("  next: do not load it; report this with the job and the lines above")
	}
	e.say("")
}

// lost is what some faults take, each alone.
type lost struct {
	what   string   // the losses, the worst first
	faults []string // in the order of the report, with what would leave more
}

// weaker gathers the faults that take something within the rules by what they take: that is what a builder asks, and there are fewer
// losses than faults. States of one part that take the same stand in one line.
func weaker(r *proof.FaultReport) (all []lost) {
	part := "" // of the line written last
	for i, s := range r.Standings {
		if s.Verdict() != proof.Weaker {
			part = ""
			continue
		}
		what := losses(s)
		at := slices.IndexFunc(all, func(l lost) bool { return l.what == what })
		if at < 0 {
			all = append(all, lost{what: what})
			at = len(all) - 1
		}
		into := &all[at].faults
		if part != "" && s.Part == part && losses(r.Standings[i-1]) == what {
			(*into)[len(*into)-1] += " or " + s.State
		} else {
			*into = append(*into, s.What)
		}
		part = s.Part
		if s.Mend != "" {
			*into = append(*into, "  better: "+s.Mend)
			part = ""
		}
	}
	return all
}

func losses(s proof.Standing) string {
	var all []string
	for _, l := range s.Losses {
		all = append(all, l.String())
	}
	return strings.Join(all, "; ")
}

// kinds of faults in the order of a report, with what one of them and several are called.
var kinds = []struct {
	of        script.What
	one, many string
}{
	{"", "the car without a fault", ""}, {script.Battery, "battery", "batteries"}, {script.Feed, "feed", "feeds"}, {script.Tap, "tap", "taps"},
	{script.Output, "output", "outputs"}, {script.Link, "link fault", "link faults"}, {script.Module, "module", "modules"}, {script.Strap, "strap", "straps"},
}

// held counts the faults that change no function, by kind.
func held(r *proof.FaultReport) (all []string) {
	count := map[script.What]int{}
	for _, s := range r.Standings {
		if s.Verdict() == proof.Held {
			count[s.Condition.What]++
		}
	}
	for _, k := range kinds {
		switch n := count[k.of]; {
		case n == 0:
		case k.many == "":
			all = append(all, k.one)
		case n == 1:
			all = append(all, "1 "+k.one)
		default:
			all = append(all, fmt.Sprintf("%d %s", n, k.many))
		}
	}
	if len(all) == 0 {
		return []string{"nothing"}
	}
	return all
}

// stoodOf gives a report as data.
func stoodOf(r *proof.FaultReport) stood {
	out := stood{Held: r.Held(), Scripts: r.Scripts, Plays: r.Plays, Runs: r.Runs, Faults: []stoodFault{}, Assumed: append([]string{}, r.Assumed...)}
	for _, s := range r.Standings {
		f := stoodFault{What: s.What, Verdict: s.Verdict(), Losses: []stoodLoss{}, Breaches: []stoodBreak{}, Mend: s.Mend, OnHEX: s.OnHEX,
			Problems: append([]string{}, s.Problems...)}
		if !s.None() {
			f.Fault = s.Condition.String()
		}
		for _, l := range s.Losses {
			f.Losses = append(f.Losses, stoodLoss{l.Function, l.Lamp, l.How, l.DarkMS, l.Percent, l.Script})
		}
		for _, b := range s.Breaches {
			f.Breaches = append(f.Breaches, stoodBreak{b.Rule, b.Function, b.Lamps, b.What, b.Script, b.Mend})
		}
		out.Faults = append(out.Faults, f)
	}
	return out
}
