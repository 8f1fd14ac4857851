package main

import (
	_ "embed"
	"errors"
	"fmt"
	"os"
)

// starter is the job that a newcomer begins from. It checks clean.
//
//go:embed starter.yaml
var starter []byte

type newCommand struct {
	File string `arg:"" help:"The job file to write, such as my-tail.yaml. It must not exist yet."`
}

func (newCommand) Help() string {
	return `The starter job holds one tail lamp, its opposite hand, two modules and the signals of the rear, each with a
comment that says what to change. It checks clean and can be played at once.

Example:

  lampwright new my-tail.yaml
  lampwright check my-tail.yaml`
}

func (c newCommand) Run(e *env) error {
	if info, err := os.Stat(c.File); err == nil && info.IsDir() || c.File == "-" {
		e.problem(fmt.Sprintf("%s is no name for a job file", c.File), "name one, such as my-tail.yaml")
		return badUsage
	}
	f, err := os.OpenFile(c.File, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return e.fileProblem("write", c.File, err)
	}
	_, err = f.Write(starter)
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(c.File) // ours: it was not there before
		return e.fileProblem("write", c.File, err)
	}
	e.say("wrote %s", c.File)
	e.tell("next: change it, then run lampwright check %s", shown(c.File))
	return nil
}
