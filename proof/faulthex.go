package proof

import (
	"context"
	"fmt"
	"slices"
	"time"

	"lampwright/car"
	"lampwright/compile"
	"lampwright/script"
	"lampwright/units"
)

// How long each ask is pressed, and the pause after it, on the simulated processor: one flash.
const (
	hexPress = 700 * units.Millisecond
	hexPause = 300 * units.Millisecond
)

// hexScript asks for everything once, one after the other, and in the end for all together.
func hexScript(asks []ask) script.Script {
	var s script.Script
	at := soonest
	press := func(a ask) {
		for _, p := range a.press(at) {
			p.To = at + hexPress
			s.Presses = append(s.Presses, p)
		}
	}
	for _, a := range asks {
		press(a)
		at += hexPress + hexPause
	}
	for _, a := range asks {
		press(a)
	}
	return s
}

// onHEX runs the HEX under every fault that brings something else to a pin of a module, once for all that bring the same, and judges it
// word by word by the engine: all modules without a fault, then those that see something else than they did there. What is broken behind the outputs is nothing that a processor could see.
func (t FaultTrial) onHEX(ctx context.Context, s *stage, asks []ask, report *FaultReport) error {
	presses := hexScript(asks)
	length := presses.Len() + askTail
	type pass struct {
		line      *script.Timeline
		course    *car.Course
		standings []*Standing
	}
	var passes []*pass
	for i := range report.Standings {
		st := &report.Standings[i]
		if st.Condition.What == script.Output {
			continue
		}
		said := presses
		if !st.None() {
			said.World = []script.Condition{st.Condition}
		}
		line := said.Timeline(t.Wires.Seed)
		course := car.Drive(t.Kit, line, length, t.Wires)
		n := slices.IndexFunc(passes, func(p *pass) bool { return same(p.course, course) })
		if n < 0 {
			n, passes = len(passes), append(passes, &pass{line: line, course: course})
		}
		passes[n].standings = append(passes[n].standings, st)
	}
	for n, p := range passes {
		t.tell(FaultProgress{Tried: len(report.Standings) - 1, Faults: len(report.Standings) - 1, Run: n, Runs: len(passes)})
		verdicts, err := Trial{Kit: t.Kit, Compiled: t.touched(s, passes[0].course, p.course), Line: p.line, Wires: t.Wires, Length: time.Duration(length) * time.Microsecond, Cache: t.Cache}.Run(ctx)
		if err != nil {
			return err
		}
		report.Runs++
		var problems []string
		for _, v := range verdicts {
			if !v.Proven() {
				problems = append(problems, fmt.Sprintf("the HEX of %s does not do what the engine says", v.Module))
				problems = append(problems, v.Problems()...)
			}
		}
		for _, st := range p.standings {
			st.OnHEX, st.Problems = true, problems
		}
	}
	t.tell(FaultProgress{Tried: len(report.Standings) - 1, Faults: len(report.Standings) - 1, Run: len(passes), Runs: len(passes)})
	return nil
}

// touched gives the modules that a course brings something else than the usual one; all, when a module speaks on the link wire or the wire
// itself is broken.
func (t FaultTrial) touched(s *stage, usual, course *car.Course) *compile.Result {
	if usual == course || !slices.Equal(usual.Wire, course.Wire) {
		return t.Compiled
	}
	rig := car.NewRig(s.units, course)
	rig.To(course.Until)
	if rig.Pulled() {
		return t.Compiled
	}
	some := &compile.Result{Wires: t.Compiled.Wires}
	for i, m := range t.Compiled.Modules {
		if !slices.Equal(usual.Modules[i], course.Modules[i]) {
			some.Modules = append(some.Modules, m)
		}
	}
	return some
}
