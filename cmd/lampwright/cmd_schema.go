package main

import "lampwright/job"

type schemaCommand struct{}

func (schemaCommand) Help() string {
	return `Example, for an editor that reads a schema from a file:

  lampwright schema > lampwright.schema.json`
}

func (schemaCommand) Run(e *env) error {
	_, err := e.out.Write(job.Schema())
	return err
}
