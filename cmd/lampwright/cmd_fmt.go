package main

import (
	"bytes"

	"lampwright/job"
	"lampwright/report"
)

type fmtCommand struct {
	Job   string `arg:"" help:"The job file."`
	Check bool   `help:"Change nothing; only tell whether the file would change."`
	JSON  bool   `name:"json" help:"Print the result as one JSON object."`
}

func (fmtCommand) Help() string {
	return `Puts the spacing of a job in order: two blanks for each level, one after colons and commas, trailing comments of
neighbouring lines in one column. Lines are neither joined nor broken; comments, order and meaning stay. A job of an older
version is brought up to this one.

Examples:

  lampwright fmt my-tail.yaml
  lampwright fmt my-tail.yaml --check`
}

// tidied is the result as JSON tells it.
type tidied struct {
	File    string `json:"file"`
	Changes bool   `json:"changes"` // the file was not in order
	Written bool   `json:"written"`
}

func (c fmtCommand) Run(e *env) error {
	doc, list := job.Read(c.Job)
	if doc == nil || doc.File() == nil {
		return c.faulty(e, list)
	}
	before, err := readFile(e, c.Job)
	if err != nil {
		return err
	}
	tidy, more := doc.File().Format()
	if tidy == nil {
		return c.faulty(e, more)
	}
	changes := !bytes.Equal(before, tidy.Text())
	if changes && !c.Check {
		if err := tidy.Save(c.Job); err != nil {
			return e.faults(err)
		}
	}
	if c.JSON {
		if err := e.json(tidied{c.Job, changes, changes && !c.Check}); err != nil {
			return err
		}
	} else {
		switch {
		case !changes:
			e.say("%s is in order", c.Job)
		case c.Check:
			e.say("%s is not in order", c.Job)
			e.tell("next: lampwright fmt %s", shown(c.Job))
		default:
			e.say("put %s in order", c.Job)
		}
	}
	if changes && c.Check {
		return found
	}
	return nil
}

func (c fmtCommand) faulty(e *env, list report.List) error {
	if c.JSON {
		if err := report.WriteJSON(e.out, list); err != nil {
			return err
		}
		return found
	}
	if err := e.diagnostics(e.err, list); err != nil {
		return err
	}
	return found
}
