package main

import (
	"fmt"
	"os"
	"path/filepath"

	"lampwright/loader"
	"lampwright/report"
)

type loadCommand struct {
	Job        string `arg:"" optional:"" help:"The job file."`
	Module     string `arg:"" optional:"" help:"The module to load."`
	Serial     string `help:"Load over the serial line in the module's plug: the port of the adapter, such as /dev/ttyUSB0 or COM3." placeholder:"PORT"`
	Port       string `help:"Where the programmer or a loader of another make is, such as /dev/ttyUSB0 or COM3; left out, USB." placeholder:"PORT"`
	Programmer string `help:"The programmer, as avrdude names it; left out, usbasp on USB and arduino (a loader in the module) on a port." placeholder:"NAME"`
	Baud       *int   `help:"Speed of a programmer's port, bits a second; many older loaders want 57600." placeholder:"N"`
	Walk       bool   `help:"Load the wiring walk of the module's board instead: each press of any input lights the next output."`
	Replace    bool   `help:"Load whatever lamp the module serves now."`
	NoFuses    bool   `help:"Leave the fuses as they are."`
	Read       bool   `help:"Tell what the module holds, and write nothing; the job and its module may be left out."`
	DryRun     bool   `help:"Print what would be done, and do nothing."`
	JSON       bool   `name:"json" help:"Print the result as one JSON object."`
}

func (loadCommand) Help() string {
	return `Makes the module's HEX and writes it in one of two ways.

With avrdude, which reads everything back and compares it. Through a programmer on the six-pin header the fuses are written too:
16 MHz crystal, start at the program, and reset below ` + loader.BrownOut + ` (brown-out). A loader of another make in the module cannot write
fuses, nor our own loader, which the serial line needs.

With --serial, over two wires of the module's plug and an adapter with 5 V levels, after the lamp has been sealed. Safe block and
image are written and read back; stop, turn and tail work meanwhile. Supply lost in the middle leaves the plain signals: load again.

Both look first what the module holds, and refuse to write the program of one lamp over that of another.

LAMPWRIGHT_AVRDUDE names another avrdude than the one on the search path.

Examples:

  lampwright load my-tail.yaml rear-lh
  lampwright load my-tail.yaml rear-lh --port /dev/ttyUSB0
  lampwright load my-tail.yaml rear-lh --serial /dev/ttyUSB0
  lampwright load my-tail.yaml rear-lh --walk
  lampwright load --read --serial /dev/ttyUSB0
  lampwright load my-tail.yaml rear-lh --dry-run`
}

// loaded is the result as JSON tells it.
type loaded struct {
	Module      string             `json:"module"`
	Serial      string             `json:"serial,omitempty"`
	ReadCommand []string           `json:"read_command,omitempty"`
	Command     []string           `json:"command,omitempty"`
	Pages       int                `json:"pages,omitempty"`
	Written     bool               `json:"written"`
	Fuses       bool               `json:"fuses"`
	Contents    *loader.Contents   `json:"contents,omitempty"`
	Problem     *report.Diagnostic `json:"problem,omitempty"`
}

func (c loadCommand) Run(e *env) error {
	if err := c.usable(e); err != nil {
		return err
	}
	if c.Read {
		return c.read(e)
	}
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
	wanted := loader.Wanted{Board: m.Of.Board.Core, Belongs: m.Image, Name: c.Module, Known: built.lampOf, Replace: c.Replace}
	if wanted.Safe, wanted.Image, err = loader.Parts(hex); err != nil {
		return err
	}
	if c.Serial != "" {
		return c.bySerial(e, wanted)
	}
	return c.byAvrdude(e, wanted, name, hex)
}

// usable refuses a command line whose parts do not go together.
func (c loadCommand) usable(e *env) error {
	problem := func(what, next string) error {
		e.problem(what, next)
		return badUsage
	}
	if c.Serial != "" {
		for _, o := range []struct {
			name  string
			given bool
		}{{"--port", c.Port != ""}, {"--programmer", c.Programmer != ""}, {"--baud", c.Baud != nil}, {"--no-fuses", c.NoFuses}} {
			if o.given {
				return problem("--serial and "+o.name+" do not go together", "--serial alone loads over the module's plug; leave one of the two out")
			}
		}
	}
	if c.Baud != nil && *c.Baud <= 0 {
		return problem(fmt.Sprintf("a port does not run at %d bits a second", *c.Baud), "leave --baud out, or write the loader's speed, such as --baud 57600")
	}
	switch {
	case c.Baud != nil && c.Port == "":
		return problem("--baud belongs to --port", "name the port of the programmer, or leave --baud out")
	case c.Read && (c.Walk || c.Replace || c.NoFuses):
		return problem("--read writes nothing", "leave --walk, --replace and --no-fuses out, or --read")
	case c.Job == "" && !c.Read:
		return problem("the job file is missing", "name it after the command: lampwright load my-tail.yaml rear-lh")
	case c.Module == "" && !c.Read:
		return problem("the module is missing", "name it after the job file: lampwright load "+shown(c.Job)+" rear-lh")
	}
	return nil
}

// lampOf gives the name of the lamp that an image is for, when it is one of this job.
func (b *built) lampOf(h loader.Hand) string {
	return b.lampNamed(fmt.Sprintf("%08x", h.Kit), int(h.Lamp))
}

func (b *built) lampNamed(kit string, lamp int) string {
	for _, m := range b.modules {
		if p := m.Program; fmt.Sprintf("%08x", p.Kit) == kit && int(p.Lamp) == lamp {
			return m.Of.Lamp.Name
		}
	}
	return ""
}

// options say how avrdude is to be run.
func (c loadCommand) options(e *env, hex string) loader.Options {
	baud := 0
	if c.Baud != nil {
		baud = *c.Baud
	}
	return loader.Options{HEX: hex, Programmer: c.Programmer, Port: c.Port, Baud: baud, NoFuses: c.NoFuses, Program: e.getenv("LAMPWRIGHT_AVRDUDE")}
}

// heldName stands for the file that is read, where nothing is.
const heldName = "held.bin"

func (c loadCommand) byAvrdude(e *env, wanted loader.Wanted, name string, hex []byte) error {
	o := c.options(e, name)
	result := loaded{Module: c.Module, Command: o.Command(), Fuses: o.WritesFuses()}
	if !c.Replace {
		result.ReadCommand = o.ReadCommand(heldName)
	}
	if c.DryRun {
		if c.JSON {
			return e.json(result)
		}
		if !c.Replace {
			e.say("%s", loader.Line(result.ReadCommand))
		}
		e.say("%s", loader.Line(result.Command))
		e.tell("next: leave --dry-run out to load; lampwright make writes %s", name)
		return nil
	}
	if o.KeepsLoader() {
		var err error
		if hex, err = loader.WithoutLoader(hex); err != nil {
			return err
		}
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
	if !c.Replace {
		e.tell("looking what the module holds")
		result.Problem = wanted.Check(e.ctx, o, e.err)
	}
	if result.Problem == nil {
		e.tell("loading %s (%s)", c.Module, name)
		result.Problem = loader.Run(e.ctx, o, e.err)
	}
	result.Written = result.Problem == nil
	return c.tellResult(e, result, o.KeepsLoader())
}

func (c loadCommand) bySerial(e *env, wanted loader.Wanted) error {
	result := loaded{Module: c.Module, Serial: c.Serial, Pages: wanted.Pages()}
	if c.DryRun {
		if c.JSON {
			return e.json(result)
		}
		e.say("%s over %s: look what the module holds, write %s of 128 bytes, read them back, leave: about %.0f s",
			c.Module, c.Serial, report.Count(result.Pages, "page"), wanted.Lasts().Seconds())
		e.tell("next: leave --dry-run out to load")
		return nil
	}
	port, d := e.serial(c.Serial)
	if d == nil {
		defer port.Close()
		e.tell("loading %s over %s, about %.0f s; the module shows plain signals meanwhile", c.Module, c.Serial, wanted.Lasts().Seconds())
		d = loader.NewSerial(port, c.Serial).Load(e.ctx, wanted, e.tenths())
	}
	result.Problem, result.Written = d, d == nil
	return c.tellResult(e, result, false)
}

// tenths tells how far something is, at each tenth of its way.
func (e *env) tenths() loader.Progress {
	told := ""
	return func(doing string, done, all int) {
		if line := fmt.Sprintf("%s: %d %%", doing, 10*(10*done/max(all, 1))); line != told {
			e.tell("%s", line)
			told = line
		}
	}
}

func (c loadCommand) tellResult(e *env, result loaded, keepsLoader bool) error {
	if c.JSON {
		if err := e.json(result); err != nil {
			return err
		}
	} else if p := result.Problem; p != nil {
		text := p.Text
		if p.Why != "" {
			text += "; " + p.Why
		}
		e.problem(text, p.Next)
	} else {
		what := "program"
		if c.Walk {
			what = "wiring walk"
		}
		e.say("%s holds the %s, read back and compared", c.Module, what)
		if c.Serial == "" && !result.Fuses {
			e.tell("the fuses were left as they are")
		}
		if keepsLoader {
			e.tell("our own loader was not written: the serial line in the plug of this module stays dead until a programmer writes it")
		}
		next := "try every function on the bench before the lamp is sealed"
		if c.Walk {
			next = fmt.Sprintf("press any input, see what lights, and enter it with lampwright rewire %s %s", shown(c.Job), c.Module)
		} else if c.Serial != "" {
			next = "try every function before the car is handed over"
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
