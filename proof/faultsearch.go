package proof

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"lampwright/car"
	"lampwright/compile"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/script"
)

// FaultTrial is a kit of which one thing at a time is broken.
type FaultTrial struct {
	Kit      *kit.Kit
	Compiled *compile.Result // of the kit
	Wires    feed.Conditions
	HEX      bool   // run the HEX that ships as well, where a fault reaches its pins
	Cache    string // as Setup.Cache; for HEX
	Progress func(p FaultProgress)
}

// FaultProgress tells how far a trial is.
type FaultProgress struct {
	Tried, Faults int // on the engine
	Run, Runs     int // on the simulated processor; 0 before they begin
}

// FaultReport is what a trial found.
type FaultReport struct {
	Standings []Standing // the first is the car without a fault, then Faults of the kit
	Scripts   int        // under which each was tried
	Plays     int        // of the engines: where a fault brings nothing else to any pin, what was played before counts
	Runs      int        // of the HEX on the simulated processor
	Assumed   []string   // what the job does not say, and what was taken
}

// Held tells whether no rule is broken, and the HEX did what the engine says wherever it was run.
func (r *FaultReport) Held() bool {
	return !slices.ContainsFunc(r.Standings, func(s Standing) bool { return s.Verdict() == Broken })
}

// Standing is how a kit stands one fault.
type Standing struct {
	Fault
	Losses   []Loss // the worst first, at most one of each function and lamp
	Breaches []Breach
	Mend     string   // of losses that no rule forbids; "" when nothing is advised
	OnHEX    bool     // run on the simulated processor too, itself or a fault that is the same at every pin
	Problems []string // what the HEX did otherwise than the engine
}

// Stand is the sum of a standing.
type Stand string

// The stands.
const (
	Held   Stand = "held"   // every road function as without the fault, or plain
	Weaker Stand = "weaker" // less than that, and within the rules
	Broken Stand = "broken"
)

// Verdict sums up.
func (s Standing) Verdict() Stand {
	switch {
	case len(s.Breaches) > 0 || len(s.Problems) > 0:
		return Broken
	case len(s.Losses) > 0:
		return Weaker
	}
	return Held
}

// Run tries every fault. It stops early with the context's error when ctx ends. With HEX the error is of type *NotProven when this
// machine cannot run the simulated processor.
func (t FaultTrial) Run(ctx context.Context) (*FaultReport, error) {
	all, err := car.Units(t.Compiled)
	if err != nil {
		return nil, err
	}
	s := newStage(t.Kit, all, t.Wires)
	asks := asksOf(t.Kit)
	scripts := askScripts(asks)
	functions := s.servedBy()
	report := &FaultReport{Scripts: len(scripts), Assumed: assumed(t.Kit)}
	usual := make([]*run, len(scripts))
	for i, presses := range scripts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		usual[i] = s.play(presses, Fault{}, nil)
	}
	s.learn(functions, asks)
	report.Standings = append(report.Standings, s.withoutFault(functions, asks, usual))
	faults := Faults(t.Kit)
	for n, f := range faults {
		standing := Standing{Fault: f}
		for i, presses := range scripts {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			breaches, losses := s.breaches(f, functions, usual[i], s.play(presses, f, usual[i]))
			standing.Losses = append(standing.Losses, losses...)
			for _, b := range breaches {
				if !standing.knows(b) {
					standing.Breaches = append(standing.Breaches, b)
				}
			}
		}
		standing.Losses = sortLosses(standing.Losses)
		s.finish(&standing, functions)
		report.Standings = append(report.Standings, standing)
		t.tell(FaultProgress{Tried: n + 1, Faults: len(faults)})
	}
	report.Plays = s.runs
	if t.HEX {
		if err := t.onHEX(ctx, s, asks, report); err != nil {
			return nil, err
		}
	}
	return report, nil
}

func (t FaultTrial) tell(p FaultProgress) {
	if t.Progress != nil {
		t.Progress(p)
	}
}

// knows tells whether a breach of the same rule and function, or a worse one, was found before.
func (s *Standing) knows(b Breach) bool {
	return slices.ContainsFunc(s.Breaches, func(o Breach) bool { return o.Function == b.Function && (o.Rule == b.Rule || o.Rule == OneSideStays) })
}

// learn finds how much light each function has when its input alone is held.
func (s *stage) learn(functions []*served, asks []ask) {
	for _, a := range asks {
		if len(a.inputs) > 1 {
			continue
		}
		held := script.Script{Presses: []script.Press{{Input: a.inputs[0].Name, From: askAt, To: askAt + askFor}}}
		r := s.play(held, Fault{}, nil)
		for _, v := range functions {
			if v.asks == a.inputs[0] {
				for n := range r.frames {
					v.need = max(v.need, s.light(r, v, n))
				}
			}
		}
	}
}

// withoutFault judges every function that is asked alone.
func (s *stage) withoutFault(functions []*served, asks []ask, usual []*run) Standing {
	none := Standing{Fault: Fault{What: "no fault"}}
	for i, a := range asks {
		if len(a.inputs) > 1 {
			continue
		}
		for _, v := range functions {
			if v.asks != a.inputs[0] {
				continue
			}
			if what, bad := s.alone(v, usual[i]); bad {
				b := Breach{Rule: ShownAlone, Function: v.function, Lamps: []string{v.lamp.Name}, What: what, presses: usual[i].script}
				b.Script, b.Mend = script.Format(b.presses), none.mend(b, functions)
				none.Breaches = append(none.Breaches, b)
			}
		}
	}
	return none
}

// finish finds the shortest script of every breach, and what to do about it.
func (s *stage) finish(standing *Standing, functions []*served) {
	for i := range standing.Breaches {
		b := &standing.Breaches[i]
		var shown Breach
		shortest := shrink(b.presses, func(presses script.Script) bool {
			usual := s.play(presses, Fault{}, nil)
			breaches, _ := s.breaches(standing.Fault, functions, usual, s.play(presses, standing.Fault, usual))
			for _, other := range breaches {
				if other.Rule == b.Rule && other.Function == b.Function {
					shown = other
					return true
				}
			}
			return false
		})
		if shown.What != "" {
			b.What, b.Lamps = shown.What, shown.Lamps
		}
		b.presses = shortest
		b.Script = script.Format(script.Script{World: []script.Condition{standing.Condition}, Presses: shortest.Presses})
		b.Mend = standing.mend(*b, functions)
	}
	if len(standing.Breaches) == 0 && standing.Condition.What == script.Battery {
		standing.Mend = standing.adviseFeeds(functions)
	}
}

// adviseFeeds tells which wires could feed a module whose battery is gone.
func (s *Standing) adviseFeeds(functions []*served) string {
	var more []string
	for _, l := range s.Losses {
		if l.gone() && (l.Function == "stop" || l.Function == "turn") {
			for _, name := range s.feedMore(Breach{Function: l.Function, Lamps: []string{l.Lamp}}, functions) {
				if !slices.Contains(more, name) {
					more = append(more, name)
				}
			}
		}
	}
	if len(more) == 0 {
		return ""
	}
	return fmt.Sprintf("let %s feed the module too, each through its diode: also: under fed:", listed(more))
}

// assumed tells what the job does not say.
func assumed(k *kit.Kit) []string {
	var unsaid []string
	for _, m := range k.Modules {
		if !m.Fed.Said() {
			unsaid = append(unsaid, m.Name)
		}
	}
	var all []string
	if len(unsaid) > 0 {
		all = append(all, fmt.Sprintf("the job does not say how %s fed (fed:): each is taken to have a battery fuse of its own, and no other feed", isAre(unsaid)))
	}
	return append(all, "a tap is taken to be fused, or to have its resistor, where it leaves the car's wire: a short of it stays its own")
}

func isAre(names []string) string {
	if len(names) == 1 {
		return names[0] + " is"
	}
	return listed(names) + " are"
}

// listed joins names for a sentence: a, b and c.
func listed(names []string) string {
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
