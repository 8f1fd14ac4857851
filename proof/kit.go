package proof

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"lampwright/board"
	"lampwright/car"
	"lampwright/compile"
	"lampwright/feed"
	"lampwright/flash"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/script"
	"lampwright/units"
)

// Core is what a shipped core may differ from the model: nothing in its words, and nothing in the width of planes that begin
// and end inside one interrupt. The others end with an interrupt, which waits for at most 22 cycles: 15 for which the main
// loop keeps interrupts off while it looks for work, one instruction after that, 4 to wake from sleep (ATmega328P data sheet,
// interrupt response time), and 2 of a longer instruction under way.
var Core = Tolerance{WidthCycles: 22, Exact: 5}

// Trial is a kit under one script.
type Trial struct {
	Kit      *kit.Kit
	Compiled *compile.Result // of the kit
	Line     *script.Timeline
	Wires    feed.Conditions // in which the factory wires do what their feeds say, and the supply of which the script says nothing
	Length   time.Duration
	Cache    string                           // as Setup.Cache
	Progress func(done, length time.Duration) // of one run; may be nil
	Running  func(Running)                    // the same, of all runs; may be nil
	Listed   int                              // as Tolerance.Listed
}

// Running is how far a trial is: the run under way, and the modules in it.
type Running struct {
	Run, Runs    int // Run from 0
	Modules      []string
	Done, Length time.Duration
}

// Verdict is what a run says of one module.
type Verdict struct {
	Module      string
	Refreshes   int // compared word by word
	Differences []Difference
	Misdeeds    []Misdeed
	Restarts    int // by the watchdog
	Load        Load
	Unpowered   bool    // the script never brings its supply: there is nothing to compare
	Shown       []Shown // the differences, by the time that they last
}

// Proven tells whether the module did what its model says, all of it and nothing else.
func (v Verdict) Proven() bool {
	return (v.Refreshes > 0 || v.Unpowered) && len(v.Differences) == 0 && len(v.Misdeeds) == 0 && v.Restarts == 0
}

// Problems tells what is wrong, one line each; none when the module is proven.
func (v Verdict) Problems() []string {
	var lines []string
	for _, d := range v.Differences {
		lines = append(lines, d.String())
	}
	for _, f := range v.Misdeeds {
		lines = append(lines, fmt.Sprintf("module %s, cycle %d: %v", v.Module, f.Cycle, f.Kind))
	}
	if v.Restarts > 0 {
		lines = append(lines, fmt.Sprintf("module %s: the watchdog restarted it, %d times in all", v.Module, v.Restarts))
	}
	if v.Refreshes == 0 && !v.Unpowered {
		lines = append(lines, fmt.Sprintf("module %s: it never sampled its inputs", v.Module))
	}
	return lines
}

// Ship gives a compiled module as a module of a run, with the HEX that ships.
func Ship(m *compile.Module) (Module, error) {
	hex, err := flash.Ship(m.Of.Board.Core, m.Safe, m.Image)
	if err != nil {
		return Module{}, fmt.Errorf("module %s cannot be shipped: %w", m.Of.Name, err)
	}
	one := Module{Name: m.Of.Name, HEX: hex, Kind: Chain, Registers: m.Of.Board.Registers}
	if m.Of.Board.Core == board.CorePins {
		one.Kind = Pins
	}
	return one, nil
}

// events gives what a course does to one module, the one with the given index of a run.
func events(changes []car.Change, index int, of board.Board) []Event {
	var all []Event
	was := car.Pins{Powered: true, Codes: program.CodesAtStart}
	for n, c := range changes {
		at, first := duration(c.At), n == 0
		for in := range len(of.Inputs) {
			if high := c.In>>in&1 != 0; first || high != (was.In>>in&1 != 0) {
				all = append(all, Input(at, index, in+1, high))
			}
		}
		if c.Codes.Supply != was.Codes.Supply {
			all = append(all, Supply(at, index, c.Codes.Supply))
		}
		if c.Codes.Heat != was.Codes.Heat {
			all = append(all, Heat(at, index, c.Codes.Heat))
		}
		if c.Strap != was.Strap {
			all = append(all, Strap(at, index, c.Strap))
		}
		if c.LinkOpen != was.LinkOpen {
			all = append(all, LinkOpen(at, index, c.LinkOpen))
		}
		if c.Powered && !was.Powered && c.Lived {
			all = append(all, PowerSoon(at, index))
		} else if c.Powered != was.Powered {
			all = append(all, Power(at, index, c.Powered))
		}
		was = c.Pins
	}
	return all
}

func duration(t units.Time) time.Duration { return time.Duration(t) * time.Microsecond }

func (t Trial) course() *car.Course {
	return car.Drive(t.Kit, t.Line, units.Time(t.Length/time.Microsecond), t.Wires)
}

// Setups gives the runs that show every module of the trial: all on the link wire together, as many as a run takes.
func (t Trial) Setups() ([]Setup, error) {
	modules := slices.Clone(t.Compiled.Modules)
	slices.SortStableFunc(modules, func(a, b *compile.Module) int { return linked(b) - linked(a) })
	var all []Setup
	course := t.course()
	for part := range slices.Chunk(modules, modulesMax) {
		s := Setup{Length: t.Length, Cache: t.Cache, Progress: t.Progress}
		for i, m := range part {
			one, err := Ship(m)
			if err != nil {
				return nil, err
			}
			s.Modules = append(s.Modules, one)
			s.Events = append(s.Events, events(course.Modules[slices.Index(t.Kit.Modules, m.Of)], i, m.Of.Board)...)
		}
		for n, w := range course.Wire {
			if n > 0 || w.State != car.Free {
				s.Events = append(s.Events, LinkWire(duration(w.At), Wire(w.State)))
			}
		}
		all = append(all, s)
	}
	return all, nil
}

func linked(m *compile.Module) int {
	if m.Of.Link != "" {
		return 1
	}
	return 0
}

// Run runs all modules of the trial and judges each by the reference engine on the same bytes. Errors are those of Run.
func (t Trial) Run(ctx context.Context) ([]Verdict, error) {
	setups, err := t.Setups()
	if err != nil {
		return nil, err
	}
	var all []Verdict
	tol := Core
	tol.Listed = t.Listed
	for i, s := range setups {
		if t.Running != nil {
			s.Progress = t.running(i, len(setups), s)
		}
		some, err := Judged(ctx, s, tol)
		if err != nil {
			return nil, err
		}
		all = append(all, some...)
	}
	course := t.course()
	for i := range all {
		n := slices.IndexFunc(t.Kit.Modules, func(m *kit.Module) bool { return m.Name == all[i].Module })
		all[i].Unpowered = !slices.ContainsFunc(course.Modules[n], func(c car.Change) bool { return c.Powered })
	}
	return all, nil
}

// running tells of one of the runs how far it is.
func (t Trial) running(run, runs int, s Setup) func(done, length time.Duration) {
	at := Running{Run: run, Runs: runs}
	for _, m := range s.Modules {
		at.Modules = append(at.Modules, m.Name)
	}
	return func(done, length time.Duration) {
		if t.Progress != nil {
			t.Progress(done, length)
		}
		at.Done, at.Length = done, length
		t.Running(at)
	}
}

// errEnough ends a run of which no more would be read.
var errEnough = errors.New("enough differences")

// Judged carries out a setup and judges each module by the reference engine on the bytes of its HEX file. The run ends early
// when a module has as many differences as are listed. Errors are those of Run.
func Judged(ctx context.Context, s Setup, tol Tolerance) ([]Verdict, error) {
	var judges []*Judge
	var models []*recalling
	for _, m := range s.Modules {
		model, err := ModelOf(m)
		if err != nil {
			return nil, err
		}
		models = append(models, &recalling{EngineModel: model})
		judges = append(judges, NewJudge(m, models[len(models)-1], tol))
	}
	shown := make([][]Shown, len(judges))
	log, err := Watch(ctx, s, func(module int, b Boot, r Refresh) error {
		j := judges[module]
		before := len(j.Differences)
		more := j.Take(b, r)
		if found := j.Differences[before:]; len(found) > 0 {
			shown[module] = show(shown[module], s.Modules[module], r, models[module].promised, found)
		}
		if !more {
			return errEnough
		}
		return nil
	})
	if err != nil && !errors.Is(err, errEnough) {
		return nil, err
	}
	verdicts := make([]Verdict, len(judges))
	for i, j := range judges {
		if log != nil {
			j.Finish()
		}
		v := &verdicts[i]
		v.Module, v.Refreshes, v.Differences, v.Shown = s.Modules[i].Name, j.Refreshes, j.Differences, shown[i]
		if log == nil {
			continue
		}
		v.Misdeeds, v.Load = log.Modules[i].Misdeeds, log.Modules[i].Load
		for _, b := range log.Modules[i].Boots {
			if b.Cause == CauseWatchdog {
				v.Restarts++
			}
		}
	}
	return verdicts, nil
}
