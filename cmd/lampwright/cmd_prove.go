package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"lampwright/board"
	"lampwright/kit"
	"lampwright/proof"
	"lampwright/script"
	"lampwright/units"
)

type proveCommand struct {
	Job      string `arg:"" help:"The job file."`
	pressing `embed:""`
	JSON     bool `name:"json" help:"Print the result as one JSON object."`
}

func (proveCommand) Help() string {
	return `Runs the HEX of every module on a simulated ATmega328P, all modules together on one link wire, presses the inputs, and
compares every word that the outputs latch, and how long it is lit, with what the job promises: no difference is let pass. Up to ` +
		fmt.Sprint(provenTogether) + ` modules run at a time. Needs Linux with gcc and libsimavr.

It is a proof of the program, with the inputs that were pressed. It says nothing about solder, supply, heat or the car's own wires.
` + "\n" + pressesHelp + `

Examples:

  lampwright prove my-tail.yaml
  lampwright prove my-tail.yaml --script "stop@1s..3s turn-lh@2s..8s~90/min:50%"`
}

// Bounds of a proof.
const (
	provenTogether = 8                // modules that a run of the simulator takes
	proofTail      = 1 * time.Second  // goes on after the last press
	proofLongest   = 10 * time.Minute // of simulated time; longer scripts take too long
	progressStep   = 2 * units.Second // from one line of progress to the next, simulated
)

// widthTolerance is how far a plane may be lit longer or shorter than nominal, processor cycles. Planes that end with an
// interrupt wait for the instruction under way and for the few that the main loop runs with interrupts off (up to 13 cycles
// seen). It is a microsecond in a refresh of 500; words have no tolerance.
const widthTolerance = 16

// proven is the result as JSON tells it.
type proven struct {
	Proven      bool           `json:"proven"`
	Simulated   string         `json:"simulated"`
	Modules     []provenModule `json:"modules"`
	Differences []string       `json:"differences"`
}

type provenModule struct {
	Module    string `json:"module"`
	Refreshes int    `json:"refreshes"` // compared word by word
}

func (c proveCommand) Run(e *env) error {
	built, err := e.ready(c.Job)
	if err != nil {
		return err
	}
	presses, err := c.read(e, built.kit)
	if err != nil {
		return err
	}
	line := presses.Timeline(c.Seed)
	length := duration(line.End()) + proofTail
	if length > proofLongest {
		e.problem(fmt.Sprintf("the script lasts %s, and at most %s are proven", line.End(), proofLongest), "cut it into several scripts")
		return badUsage
	}
	result := proven{Simulated: length.String(), Modules: []provenModule{}, Differences: []string{}}
	for part := range slices.Chunk(linkedFirst(built.modules), provenTogether) {
		if err := c.part(e, built.kit, part, line, length, &result); err != nil {
			return e.notProven(err)
		}
	}
	result.Proven = len(result.Differences) == 0
	return c.tellResult(e, result)
}

// linkedFirst puts the modules on the link wire first, so that they run together.
func linkedFirst(modules []module) []module {
	out := slices.Clone(modules)
	slices.SortStableFunc(out, func(a, b module) int {
		rank := func(m module) int {
			if m.Of.Link != "" {
				return 0
			}
			return 1
		}
		return rank(a) - rank(b)
	})
	return out
}

// part proves some of the modules, together.
func (c proveCommand) part(e *env, k *kit.Kit, part []module, line *script.Timeline, length time.Duration, result *proven) error {
	setup := proof.Setup{Length: length, Cache: e.cache()}
	var judges []*proof.Judge
	for i, m := range part {
		one := proof.Module{Name: m.Of.Name, HEX: m.hex, Kind: proof.Chain, Registers: m.Of.Board.Registers}
		if m.Of.Board.Core == board.CorePins {
			one.Kind = proof.Pins
		}
		model, err := proof.ModelOf(one)
		if err != nil {
			return err
		}
		setup.Modules = append(setup.Modules, one)
		judges = append(judges, proof.NewJudge(one, model, proof.Tolerance{WidthCycles: widthTolerance}))
		setup.Events = append(setup.Events, inputEvents(k, m.Of, i, line)...)
	}
	next, told := units.Time(0), time.Duration(0)
	setup.Progress = func(done, length time.Duration) {
		at := units.Time(done / time.Microsecond)
		if at < next && (done < length || told == length) {
			return
		}
		e.tell("simulated %.0f s of %.0f s", done.Seconds(), length.Seconds())
		next, told = at+progressStep, done
	}
	_, err := proof.Watch(e.ctx, setup, func(module int, b proof.Boot, r proof.Refresh) error {
		if !judges[module].Take(b, r) {
			return errEnough
		}
		return nil
	})
	if err != nil && !errors.Is(err, errEnough) {
		return err
	}
	for i, j := range judges {
		result.Modules = append(result.Modules, provenModule{part[i].Of.Name, j.Refreshes})
		for _, d := range j.Differences {
			result.Differences = append(result.Differences, d.String())
		}
	}
	return nil
}

// errEnough ends a run whose modules differ so much that more would not be read.
var errEnough = errors.New("enough differences")

// inputEvents gives what happens at the pins of a module.
func inputEvents(k *kit.Kit, m *kit.Module, index int, line *script.Timeline) []proof.Event {
	var events []proof.Event
	for _, in := range k.Inputs {
		for _, pin := range in.Pins {
			if pin.Module != m {
				continue
			}
			if in.ActiveLow {
				events = append(events, proof.Input(0, index, pin.In+1, true))
			}
			for _, s := range line.Spans(in.Name) {
				events = append(events,
					proof.Input(duration(s.From), index, pin.In+1, !in.ActiveLow),
					proof.Input(duration(s.To), index, pin.In+1, in.ActiveLow))
			}
		}
	}
	return events
}

func duration(t units.Time) time.Duration { return time.Duration(t) * time.Microsecond }

// cache is the folder that keeps the compiled simulator bench.
func (e *env) cache() string {
	if folder := e.getenv("LAMPWRIGHT_CACHE"); folder != "" {
		return folder
	}
	if folder, err := os.UserCacheDir(); err == nil {
		return filepath.Join(folder, "lampwright")
	}
	return filepath.Join(os.TempDir(), "lampwright-cache")
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
			if slices.ContainsFunc(r.Differences, func(d string) bool { return strings.Contains(d, "module "+m.Module+",") }) {
				verdict = "DIFFERENT from the job"
			}
			e.say("%s: %s compared word by word, %s", m.Module, refreshes(m.Refreshes), verdict)
		}
		for _, d := range r.Differences {
			e.say("  %s", d)
		}
		if r.Proven {
			e.say("proven over %s with these presses", r.Simulated)
		} else {
			e.problem("the HEX does not do what the job says", "do not load it; report this with the job and the lines above")
		}
	}
	if !r.Proven {
		return unproven
	}
	return nil
}

func refreshes(n int) string {
	if n == 1 {
		return "1 refresh"
	}
	return fmt.Sprintf("%d refreshes", n)
}
