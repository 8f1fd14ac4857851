// Command benchsheet prints what the shipped core and the tool do, one line a figure: name, value, unit, goal, and whether it is
// met. Everything is measured side by side in one run; nothing is remembered from another.
//
// It is run from the root of the source tree: make bench. It needs gcc, libsimavr, avr-gcc and Chromium. A wall-clock time depends on the
// machine and on what else runs there; figures of the core do not.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"lampwright/proof/measure"
)

const root = "."

// sheet counts what it prints.
type sheet map[measure.Verdict]int

func (s sheet) print(figures []measure.Figure) {
	for _, f := range figures {
		s[f.Verdict()]++
		fmt.Printf("%-92s %10s %-34s %-16v %s\n", f.Name, f.Number(), f.Unit, f.Goal, f.Verdict())
	}
}

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run() error {
	cache, err := os.MkdirTemp("", "lampwright-bench-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(cache)
	s := sheet{}
	var failed []error // one part that cannot be measured does not keep the others from it
	for _, part := range []func(context.Context, measure.Rig) ([]measure.Figure, error){
		load, stop, reset, turn, pace, link, car, routines, speed, size, growth, faster, workbench,
	} {
		figures, err := part(context.Background(), measure.Rig{Cache: cache})
		s.print(figures)
		failed = append(failed, err)
	}
	fmt.Fprintf(os.Stderr, "%d met, %d not met, %d reported\n", s[measure.Met], s[measure.NotMet], s[measure.Reported])
	return errors.Join(failed...)
}
