package main

import (
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"

	"lampwright/report"
)

type makeCommand struct {
	Job  string `arg:"" help:"The job file."`
	Out  string `short:"o" required:"" help:"The folder to make." placeholder:"FOLDER"`
	JSON bool   `name:"json" help:"Print what was made as one JSON object."`
}

func (makeCommand) Help() string {
	return `Writes into the folder, for each module: MODULE.hex for its controller, MODULE.image (the data part alone) and MODULE.txt,
a listing to read; for each kind of board walk-BOARD.hex, with which the outputs light one after another; summary.txt, and
packing-list.txt with a checksum of every file.

The folder is made beside its place and then takes it, so that it is never half written. A folder that this program made is
replaced, and what you laid into it is kept; any other folder that holds files is left alone.

Example:

  lampwright make my-tail.yaml -o my-kit`
}

// made is the result as JSON tells it.
type made struct {
	Folder  string       `json:"folder"`
	Modules []madeModule `json:"modules"`
	Files   []madeFile   `json:"files"`
}

type madeFile struct {
	Name   string `json:"name"`
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
}

func (c makeCommand) Run(e *env) error {
	built, err := e.ready(c.Job, c.JSON)
	if err != nil {
		return err
	}
	if err := built.hasModules(e, "make"); err != nil {
		return err
	}
	files, err := built.files()
	if err != nil {
		return err
	}
	if err := e.fillFolder(c.Out, files); err != nil {
		return err
	}
	if c.JSON {
		return e.json(describe(c.Out, built, files))
	}
	e.say("%s", built.summary())
	e.say("")
	e.say("wrote %s into %s", report.Count(len(files)+1, "file"), c.Out)
	e.tell("next: lampwright prove %s, then lampwright load %s MODULE", shown(c.Job), shown(c.Job))
	return nil
}

func describe(folder string, b *built, files []kitFile) made {
	out := made{Folder: filepath.ToSlash(folder), Modules: b.madeModules()}
	for _, f := range files {
		sum := sha256.Sum256(f.data)
		out.Files = append(out.Files, madeFile{f.name, len(f.data), hex.EncodeToString(sum[:])})
	}
	return out
}
