package main

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"lampwright/car"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/script"
	"lampwright/units"
)

// pressing is what commands that press inputs have in common.
type pressing struct {
	Script string `help:"What is pressed when; left out, every input has its turn. @FILE reads it from a file, @FILE.csv as CSV." placeholder:"PRESSES"`
	Seed   uint64 `help:"How contacts chatter and pulses fall: another number, another chatter." default:"0"`

	Supply units.Voltage `help:"The car's supply, 5 V to 40 V, where the script says no other. Left out, 13.5 V." default:"13.5 V" placeholder:"V"`
}

// pressesHelp says how presses and conditions are written.
const pressesHelp = `Presses are written input@from..to with blanks between them: "tail@0s..6s stop@1s..3s". Add ~90/min:50% for an input that
flashes ninety times a minute and is on half of the time, and !4ms for contacts that chatter at each edge. A CSV file has the
heading time_ms,input,level and one row for each change, 1 for on and 0 for off.

What the car does meanwhile is written what=is, with @from..to or, without, throughout: supply=9V@2s..3s, supply=crank@2s..4s (the
engine is started), heat=90C, battery:F3=gone (a fuse or a module), tap:rear-lh.in2=open (or ground, supply), feed:rear-lh.stop=open,
output:rear-lh.13=open (or on), link=low (or supply), link:rear-lh=open, strap:rear-lh=missing (or LH, RH), module:rear-lh=dead.
With such conditions alone every input has its turn.`

// conditions are those in which the factory wires do what their feeds say.
func (p pressing) conditions() feed.Conditions {
	return feed.Conditions{Supply: p.Supply, Seed: p.Seed}
}

// ready gives the job, whole, and the script that plays it.
func (p pressing) ready(e *env, job string, asJSON bool) (*built, script.Script, error) {
	b, err := e.ready(job, asJSON)
	if err != nil {
		return nil, script.Script{}, err
	}
	presses, err := p.read(e, b.kit)
	return b, presses, err
}

// supplied refuses a supply that no car has.
func (p pressing) supplied(e *env) error {
	if p.Supply < leastSupply || p.Supply > mostSupply {
		e.problem(fmt.Sprintf("no car's supply is at %s", p.Supply), fmt.Sprintf("choose %s to %s", leastSupply, mostSupply))
		return badUsage
	}
	return nil
}

// read gives the script, or tells what is wrong with it.
func (p pressing) read(e *env, k *kit.Kit) (script.Script, error) {
	if err := p.supplied(e); err != nil {
		return script.Script{}, err
	}
	names := car.Names(k)
	if p.Script == "" {
		return car.Tour(k), nil
	}
	name, text := "--script", []byte(p.Script)
	path, fromFile := strings.CutPrefix(p.Script, "@")
	if fromFile {
		var err error
		if text, err = readBounded(path, max(script.MaxTextBytes, script.MaxCSVBytes)); err != nil {
			return script.Script{}, e.fileProblem("read", cmp.Or(path, "the file after @"), err)
		}
		name = path
	} else if _, err := os.Stat(p.Script); err == nil {
		e.problem(fmt.Sprintf("%s is a file, and --script expects presses", p.Script), "write --script @"+p.Script+" to read it")
		return script.Script{}, badUsage
	}
	var presses script.Script
	var faults report.List
	if fromFile && strings.EqualFold(filepath.Ext(path), ".csv") {
		presses, faults = script.ReadCSV(name, text, names.Inputs)
	} else {
		presses, faults = script.ParseIn(name, text, names)
	}
	if len(faults) > 0 {
		if err := e.diagnostics(e.err, faults); err != nil {
			return presses, err
		}
	}
	if faults.HasErrors() {
		return presses, badUsage
	}
	switch {
	case len(presses.Presses) > 0:
	case len(presses.World) > 0:
		presses.Presses = car.Tour(k).Presses
	default:
		e.problem("the script presses nothing", "press one of: "+listing(names.Inputs))
		return presses, badUsage
	}
	return presses, nil
}

// The supplies that can be asked for: from a cranking engine to the surge that a suppressed alternator lets through; common practice,
// no source.
const leastSupply, mostSupply units.Voltage = 5, 40
