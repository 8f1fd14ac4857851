package main

import (
	"errors"
	"fmt"
	"os"
	"slices"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/report"
)

// built is a job with the programs of its modules.
type built struct {
	kit     *kit.Kit
	result  *compile.Result
	modules []module
}

// ready builds a job for a command that needs it whole, and tells what is wrong with it: as data when the command's result
// would have been data.
func (e *env) ready(path string, asJSON bool) (*built, error) {
	b, list := e.build(path)
	if b == nil && asJSON {
		if err := report.WriteJSON(e.out, list); err != nil {
			return nil, err
		}
		return nil, found
	}
	if err := e.diagnostics(e.err, list); err != nil {
		return nil, err
	}
	if b == nil || list.HasErrors() {
		if slices.ContainsFunc(list, func(d report.Diagnostic) bool { return d.Place.Line > 0 }) { // else the file itself could not be read
			e.tell("next: mend this, then run lampwright check %s", shown(path))
		}
		return nil, found
	}
	return b, nil
}

// faults tells an error that may hold diagnostics.
func (e *env) faults(err error) error {
	var one report.Diagnostic
	var all report.List
	switch {
	case errors.As(err, &one):
		all = report.List{one}
	case errors.As(err, &all):
	default:
		e.problem(err.Error(), "")
		return found
	}
	if err := e.diagnostics(e.err, all); err != nil {
		return err
	}
	return found
}

// layers counts the signals or shows of the job.
func (b *built) layers(shows bool) int {
	n := 0
	for _, l := range b.kit.Layers {
		if l.Show == shows {
			n++
		}
	}
	return n
}

// hasModules refuses a job of lamps alone where there would be nothing to do.
func (b *built) hasModules(e *env, doing string) error {
	if len(b.modules) > 0 {
		return nil
	}
	e.problem("the job has no module: there is nothing to "+doing, "write one under modules:, with its board, its lamp and its wiring")
	return found
}

// module finds a module by name.
func (b *built) module(e *env, name string) (*module, error) {
	var names []string
	for i := range b.modules {
		if b.modules[i].Of.Name == name {
			return &b.modules[i], nil
		}
		names = append(names, b.modules[i].Of.Name)
	}
	e.noSuch("module", name, names)
	return nil, badUsage
}

// noSuch tells that the builder named something that the job does not have.
func (e *env) noSuch(what, name string, known []string) {
	next := fmt.Sprintf("the job has: %s", listing(known))
	if len(known) == 0 {
		next = fmt.Sprintf("the job has no %s", what)
	}
	if near := report.Suggest(name, known); near != "" {
		next = fmt.Sprintf("did you mean %s? %s", near, next)
	}
	e.problem(fmt.Sprintf("the job has no %s called %q", what, name), next)
}

// groupAt gives the group on an output (0-based) of a module, or -1.
func (m *module) groupAt(output int) int { return groupOn(m.Of, output) }

// readFile reads a file that the builder named.
func readFile(e *env, path string) ([]byte, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, e.fileProblem("read", path, err)
	}
	return text, nil
}
