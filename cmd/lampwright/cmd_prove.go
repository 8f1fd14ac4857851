package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"lampwright/proof"
)

type proveCommand struct {
	Job      string `arg:"" help:"The job file."`
	pressing `embed:""`
	Faults   bool `help:"Break one thing at a time instead (fuse, feed, tap, output, link, strap, module) and tell what the lamps still show."`
	Quick    bool `help:"With --faults: try the faults on the reference engine alone, not on the simulated processor."`
	JSON     bool `name:"json" help:"Print the result as one JSON object."`
}

func (proveCommand) Help() string {
	return `Runs the HEX of every module on a simulated ATmega328P, all modules together on one link wire, presses the inputs, and
compares every word that the outputs latch, and how long it is lit, with what the job promises: no word may differ. Needs Linux
with gcc and libsimavr.

It is a proof of the program, with the inputs that were pressed and what the script says of the car. It says nothing about solder, the
heat of parts, or what the car's own wires really do.
` + "\n" + pressesHelp + `

With --faults every single fault is tried: each battery fuse, each wire that feeds a module, each tap open or shorted, each output open or
stuck on, the link wire, each side strap, each module. Under each the road signals are asked for, alone and in pairs. Broken is a fault that
darkens a road function on both sides, that hides a stop or turn whose wire arrives at a module that is fed, or that changes what it does not
reach; it comes with the shortest script that shows it. The search runs on the engine; then the HEX is run once under every fault that its
processor can see.

Examples:

  lampwright prove my-tail.yaml
  lampwright prove my-tail.yaml --script "stop@1s..3s turn-lh@2s..8s~90/min:50%"
  lampwright prove my-tail.yaml --script "supply=crank@1s..3s stop@500ms..4s"
  lampwright prove my-tail.yaml --faults`
}

const progressStep = 2 * time.Second // from one line of progress to the next, simulated

// proven is the result as JSON tells it.
type proven struct {
	Proven    bool           `json:"proven"`
	Simulated float64        `json:"simulated_s"` // to a millisecond
	Modules   []provenModule `json:"modules"`
}

type provenModule struct {
	Module    string   `json:"module"`
	Proven    bool     `json:"proven"`
	Refreshes int      `json:"refreshes"` // compared word by word
	Busy      float64  `json:"busy_percent"`
	Problems  []string `json:"problems"`
}

// compared tells whether any word was compared at all: no proof is made of nothing.
func (r proven) compared() bool {
	return slices.ContainsFunc(r.Modules, func(m provenModule) bool { return m.Refreshes > 0 })
}

// butFor names the modules of which nothing was compared.
func (r proven) butFor() string {
	var names []string
	for _, m := range r.Modules {
		if m.Refreshes == 0 {
			names = append(names, m.Module)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return ", but nothing of " + listing(names)
}

func (c proveCommand) Run(e *env) error {
	if c.Faults {
		return c.faults(e)
	}
	if c.Quick {
		e.problem("--quick belongs to --faults", "leave it out, or add --faults")
		return badUsage
	}
	built, presses, err := c.ready(e, c.Job, c.JSON)
	if err != nil {
		return err
	}
	if err := built.hasModules(e, "prove"); err != nil {
		return err
	}
	line := presses.Timeline(c.Seed)
	length := time.Duration(line.End())*time.Microsecond + proof.TrialTail
	if length > proof.TrialLongest {
		e.problem(fmt.Sprintf("the script lasts %s, and at most %.0f s are proven", line.End(), (proof.TrialLongest-proof.TrialTail).Seconds()), "cut it into several scripts")
		return badUsage
	}
	cache, done := e.cache()
	defer done()
	verdicts, err := proof.Trial{
		Kit: built.kit, Compiled: built.result, Line: line, Wires: c.conditions(), Length: length, Cache: cache, Progress: e.progress(),
	}.Run(e.ctx)
	if err != nil {
		return e.notProven(err)
	}
	result := proven{Proven: len(verdicts) == len(built.modules), Simulated: float64(length.Milliseconds()) / 1000, Modules: []provenModule{}}
	for _, v := range verdicts {
		one := provenModule{Module: v.Module, Proven: v.Proven(), Refreshes: v.Refreshes, Busy: percent(v.Load.Busy()), Problems: []string{}}
		one.Problems = append(one.Problems, v.Problems()...)
		result.Modules = append(result.Modules, one)
		result.Proven = result.Proven && one.Proven
	}
	result.Proven = result.Proven && result.compared()
	return c.tellResult(e, result)
}

// progress tells how far the simulation is, now and then and at its end.
func (e *env) progress() func(done, length time.Duration) {
	next, told := time.Duration(0), time.Duration(-1)
	return func(done, length time.Duration) {
		if done < told { // the next run
			next, told = 0, -1
		}
		if done < next && (done < length || told == length) {
			return
		}
		e.tell("simulated %.0f s of %.0f s", done.Seconds(), length.Seconds())
		next, told = done+progressStep, done
	}
}

// cache is the folder that keeps the compiled simulator bench. Where none can be kept it is one for this run alone, which done
// removes: what is run from it must not come from a folder that others can write to.
func (e *env) cache() (folder string, done func()) {
	done = func() {}
	if folder = e.getenv("LAMPWRIGHT_CACHE"); folder != "" {
		return folder, done
	}
	if kept, err := os.UserCacheDir(); err == nil {
		folder = filepath.Join(kept, "lampwright")
		if os.MkdirAll(folder, 0o755) == nil {
			return folder, done
		}
	}
	if own, err := os.MkdirTemp("", "lampwright-"); err == nil {
		return own, func() { os.RemoveAll(own) }
	}
	return folder, done
}

// notProven tells why there is no proof.
func (e *env) notProven(err error) error {
	var missing *proof.NotProven
	switch {
	case errors.As(err, &missing):
		next := "use a Linux machine"
		if missing.Install != "" {
			next = missing.Install
		}
		e.problem("not proven here: "+missing.Reason, next)
		return lacking
	case errors.Is(err, context.Canceled):
		e.problem("the proof was stopped before its end: nothing is proven", "run it again")
		return lacking
	}
	e.problem("the simulator stopped: "+err.Error(), "run it again; if it stops again, report it with the job")
	return lacking
}

func (c proveCommand) tellResult(e *env, r proven) error {
	if c.JSON {
		if err := e.json(r); err != nil {
			return err
		}
	} else {
		for _, m := range r.Modules {
			verdict := "as the job says"
			switch {
			case !m.Proven:
				verdict = "NOT as the job says"
			case m.Refreshes == 0:
				verdict = "for the script never brings its supply"
			}
			e.say("%s: %d refreshes compared word by word, %s", m.Module, m.Refreshes, verdict)
			for _, p := range m.Problems {
				e.say("  %s", p)
			}
		}
		switch {
		case r.Proven:
			e.say("proven over %.1f s with these presses%s", r.Simulated, r.butFor())
		case !r.compared():
			e.problem("nothing was compared, so nothing is proven: no module ever has its supply", "take the conditions out of the script that keep it from them, or press an input that feeds one")
		default:
			e.problem("the HEX does not do what the job says", "do not load it; report this with the job and the lines above")
		}
	}
	switch {
	case r.Proven:
		return nil
	case !r.compared():
		return badUsage
	}
	return unproven
}
