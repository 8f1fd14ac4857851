package main

import (
	"fmt"
	"os"
	"path/filepath"

	"lampwright/loader"
	"lampwright/report"
)

type loadCommand struct {
	Job        string `arg:"" help:"The job file."`
	Module     string `arg:"" help:"The module to load."`
	Port       string `help:"Where the programmer or serial loader is, such as /dev/ttyUSB0 or COM3; left out, USB." placeholder:"PORT"`
	Programmer string `help:"The programmer, as avrdude names it; left out, usbasp on USB and arduino (a serial loader in the module) on a port." placeholder:"NAME"`
	Baud       int    `help:"Speed of a serial port, bits a second; many older serial loaders want 57600." placeholder:"N"`
	Walk       bool   `help:"Load the wiring walk of the module's board instead: each press of any input lights the next output."`
	NoFuses    bool   `help:"Leave the fuses as they are."`
	DryRun     bool   `help:"Print the command and do nothing."`
	JSON       bool   `name:"json" help:"Print the result as one JSON object."`
}

func (loadCommand) Help() string {
	return `Makes the module's HEX and writes it with avrdude, which reads everything back and compares it. Through a programmer on
the six-pin header the fuses are written too: 16 MHz crystal, start at the program, and reset below ` + loader.BrownOut + ` (brown-out). A
serial loader cannot write fuses; they stay as they are.

LAMPWRIGHT_AVRDUDE names another avrdude than the one on the search path.

Examples:

  lampwright load my-tail.yaml rear-lh
  lampwright load my-tail.yaml rear-lh --port /dev/ttyUSB0
  lampwright load my-tail.yaml rear-lh --walk
  lampwright load my-tail.yaml rear-lh --dry-run`
}

// loaded is the result as JSON tells it.
type loaded struct {
	Module  string             `json:"module"`
	Command []string           `json:"command"`
	Written bool               `json:"written"`
	Fuses   bool               `json:"fuses"`
	Problem *report.Diagnostic `json:"problem,omitempty"`
}

func (c loadCommand) Run(e *env) error {
	if err := e.swapped("load", c.Job, c.Module); err != nil {
		return err
	}
	built, err := e.ready(c.Job, c.JSON)
	if err != nil {
		return err
	}
	m, err := built.module(e, c.Module)
	if err != nil {
		return err
	}
	name, hex := m.Of.Name+".hex", m.hex
	if c.Walk {
		name = walkName(m.Of.Board)
		if hex, err = walkHEX(m.Of.Board); err != nil {
			return err
		}
	}
	o := loader.Options{HEX: name, Programmer: c.Programmer, Port: c.Port, Baud: c.Baud, NoFuses: c.NoFuses, Program: e.getenv("LAMPWRIGHT_AVRDUDE")}
	result := loaded{Module: c.Module, Command: o.Command(), Fuses: o.WritesFuses()}
	if c.DryRun {
		if c.JSON {
			return e.json(result)
		}
		e.say("%s", loader.Line(o.Command()))
		e.tell("next: leave --dry-run out to load; lampwright make writes %s", name)
		return nil
	}
	folder, err := os.MkdirTemp("", "lampwright-load-")
	if err != nil {
		return e.fileProblem("make a folder in", os.TempDir(), err)
	}
	defer os.RemoveAll(folder)
	o.HEX = filepath.Join(folder, name)
	if err := os.WriteFile(o.HEX, hex, 0o600); err != nil {
		return e.fileProblem("write", o.HEX, err)
	}
	e.tell("loading %s (%s)", c.Module, name)
	result.Problem = loader.Run(e.ctx, o, e.err)
	result.Written = result.Problem == nil
	return c.tellResult(e, result)
}

func (c loadCommand) tellResult(e *env, result loaded) error {
	if c.JSON {
		if err := e.json(result); err != nil {
			return err
		}
	} else if p := result.Problem; p != nil {
		e.problem(p.Text, p.Next)
	} else {
		what := "program"
		if c.Walk {
			what = "wiring walk"
		}
		e.say("%s holds the %s, read back and compared", c.Module, what)
		if !result.Fuses {
			e.tell("the fuses were left as they are")
		}
		next := "try every function on the bench before the lamp is sealed"
		if c.Walk {
			next = fmt.Sprintf("press any input, see what lights, and enter it with lampwright rewire %s %s", c.Job, c.Module)
		}
		e.tell("next: %s", next)
	}
	switch {
	case result.Problem == nil:
		return nil
	case loader.Lacks(result.Problem.ID):
		return lacking
	}
	return unloaded
}
