// Command lampwright turns one readable job file into the programs of a vehicle's lamp modules, plays them on the screen,
// proves them on a simulated processor and loads them.
//
// It only connects the rooms of the house: one file a command, and what they share in env.go, job.go and print.go.
package main

import (
	"context"
	"errors"
	"os"
	"os/signal"
	"syscall"

	"github.com/alecthomas/kong"
)

// commands is the grammar of the command line.
type commands struct {
	New     newCommand     `cmd:"" help:"Write a commented starter job to begin from."`
	Open    openCommand    `cmd:"" help:"Open a job on the workbench: a page in the browser, from this machine alone."`
	Check   checkCommand   `cmd:"" help:"Tell every fault of a job at once, with its line and what to do."`
	Play    playCommand    `cmd:"" help:"Press inputs and watch the lamps, on the screen or as a file."`
	Make    makeCommand    `cmd:"" help:"Make the HEX, image and listing of every module into a folder."`
	Prove   proveCommand   `cmd:"" help:"Run the HEX that ships on a simulated processor and compare it with the job."`
	Load    loadCommand    `cmd:"" help:"Write a module's HEX into its controller."`
	Rewire  rewireCommand  `cmd:"" help:"Enter how a lamp was really soldered, output by output."`
	Scope   scopeCommand   `cmd:"" help:"Read a scope record of a wire of the car and say what the wire does."`
	Fmt     fmtCommand     `cmd:"" help:"Tidy a job's text: blanks, line ends, version."`
	Schema  schemaCommand  `cmd:"" help:"Print the JSON Schema of a job, for editors that complete and check."`
	Version versionCommand `cmd:"" help:"Tell the versions of the tool and of what it writes."`
}

const about = `Programs for animated vehicle lamps, from one job file.

First steps:

  lampwright new my-tail.yaml       a commented starter job that checks clean
  lampwright check my-tail.yaml     every fault at once, with its line
  lampwright play my-tail.yaml --script "tail@0s..6s stop@1s..3s turn-lh@3s..6s~90/min:50%"
  lampwright make my-tail.yaml -o my-kit
  lampwright prove my-tail.yaml
  lampwright load my-tail.yaml rear-lh

Status on leaving:

` + statusTable + `

Vehicle lamps are safety equipment. A proof here is of the program against the job, not of solder, supply or the law: try
every function on the real vehicle before it moves.`

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go func() { // a second Ctrl-C ends the program at once
		<-ctx.Done()
		stop()
	}()
	code := run(os.Args[1:], system(ctx))
	stop()
	os.Exit(code)
}

// leave is thrown by kong when help was printed.
type leave int

// run does what the arguments say and gives the status to leave with.
func run(args []string, e *env) (code int) {
	out := &watched{Writer: e.out}
	e.out = out
	defer func() {
		switch thrown := recover().(type) {
		case nil:
		case leave:
			code = int(thrown)
		default:
			panic(thrown)
		}
		if out.err != nil {
			code = int(e.fileProblem("write", "standard output", out.err))
		}
	}()
	args = habits(args)
	if e.empty(args) {
		return int(badUsage)
	}
	chosen, err := e.parser().Parse(args)
	switch {
	case out.err != nil: // it was help that could not be written
		return int(lacking)
	case err != nil:
		return int(e.usage(args, err))
	}
	err = chosen.Run(e)
	var s status
	switch {
	case out.err != nil:
		return int(lacking)
	case err == nil:
		return int(ok)
	case errors.As(err, &s):
		return int(s)
	case errors.Is(err, context.Canceled):
		e.problem("stopped before the end", "run it again")
		return int(found)
	default:
		e.problem(err.Error(), "")
		return int(found)
	}
}

// parser reads a command line by the grammar.
func (e *env) parser() *kong.Kong {
	return kong.Must(new(commands),
		kong.Name("lampwright"), kong.Description(about), kong.Writers(e.out, e.err), kong.Exit(func(code int) { panic(leave(code)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 110, NoExpandSubcommands: true}))
}
