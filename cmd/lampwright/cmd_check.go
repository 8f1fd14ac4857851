package main

import (
	"lampwright/report"
)

type checkCommand struct {
	Job  string `arg:"" help:"The job file."`
	JSON bool   `name:"json" help:"Print the findings as one JSON object."`
}

func (checkCommand) Help() string {
	return `Reads the job, resolves every name, compiles every module and tries the rules: all faults come at once, in the
order of the file, each with what to do about it. Nothing is written.

Example:

  lampwright check my-tail.yaml
  lampwright check my-tail.yaml --json`
}

func (c checkCommand) Run(e *env) error {
	built, list := e.build(c.Job)
	if c.JSON {
		if err := report.WriteJSON(e.out, list); err != nil {
			return err
		}
		return judged(list).orNil()
	}
	if err := e.diagnostics(e.out, list); err != nil {
		return err
	}
	if built == nil || list.HasErrors() {
		return found
	}
	if len(list) > 0 {
		e.say("")
	}
	e.say("%s: nothing stops work: %s, %s, %s, %s", c.Job, report.Count(len(built.kit.Lamps), "lamp"), report.Count(len(built.kit.Modules), "module"),
		report.Count(built.layers(false), "signal"), report.Count(built.layers(true), "show"))
	return nil
}
