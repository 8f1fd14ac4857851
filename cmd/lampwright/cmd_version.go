package main

import (
	"crypto/sha256"
	"encoding/hex"
	"runtime/debug"

	"lampwright/board"
	"lampwright/firmware"
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
	Tool     string      `json:"tool"`
	Document int         `json:"document"` // newest form of a job that is read, and the one that is written
	Image    int         `json:"image"`
	Go       string      `json:"go"`
	Cores    []coreBuild `json:"cores"` // what is joined with the images
}

type coreBuild struct {
	Core   string `json:"core"`
	SHA256 string `json:"sha256"` // of the prebuilt HEX
}

// imageVersion is the version of the module image that is written; docs/image-format.md.
const imageVersion = 1

// shortSum is how many digits of a checksum people compare.
const shortSum = 16

func (c versionCommand) Run(e *env) error {
	v := versions{Tool: version, Document: job.Version, Image: imageVersion}
	for _, c := range []struct {
		name board.Core
		hex  []byte
	}{{board.CoreChain, firmware.Chain}, {board.CorePins, firmware.Pins}} {
		sum := sha256.Sum256(c.hex)
		v.Cores = append(v.Cores, coreBuild{string(c.name), hex.EncodeToString(sum[:])})
	}
	if info, known := debug.ReadBuildInfo(); known {
		v.Go = info.GoVersion
	}
	if c.JSON {
		return e.json(v)
	}
	e.say("lampwright %s", v.Tool)
	e.say("job files   version %d", v.Document)
	e.say("images      version %d", v.Image)
	for _, c := range v.Cores {
		e.say("core        %s %s", c.Core, c.SHA256[:shortSum])
	}
	e.say("built with  %s", v.Go)
	return nil
}
