package main

import (
	"runtime/debug"

	"lampwright/job"
)

// version of the tool; the release chore sets it with -ldflags "-X main.version=…".
var version = "0.1"

type versionCommand struct {
	JSON bool `name:"json" help:"Print one JSON object."`
}

func (versionCommand) Help() string {
	return `Example:

  lampwright version`
}

// versions is what a builder needs to know when two machines make different things.
type versions struct {
	Tool     string `json:"tool"`
	Document int    `json:"document"` // newest form of a job that is read, and the one that is written
	Image    int    `json:"image"`
	Go       string `json:"go"`
	Core     string `json:"core,omitempty"` // what is joined with every image
}

// imageVersion is the version of the module image that is written; docs/image-format.md.
const imageVersion = 1

func (c versionCommand) Run(e *env) error {
	v := versions{Tool: version, Document: job.Version, Image: imageVersion}
	if info, known := debug.ReadBuildInfo(); known {
		v.Go = info.GoVersion
	}
	if c.JSON {
		return e.json(v)
	}
	e.say("lampwright %s", v.Tool)
	e.say("job files   version %d", v.Document)
	e.say("images      version %d", v.Image)
	e.say("built with  %s", v.Go)
	return nil
}
