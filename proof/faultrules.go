package proof

import (
	"fmt"

	"lampwright/lamp"
	"lampwright/script"
	"lampwright/units"
)

// Rule is what a fault may not do.
type Rule string

// The rules.
const (
	OneSideStays Rule = "one-side-stays" // no single fault darkens a road function on both sides
	WireIsObeyed Rule = "wire-is-obeyed" // stop and turn are shown wherever their wire arrives and the module is fed
	OthersStay   Rule = "others-stay"    // what a fault does not reach is as ever
	ShownAlone   Rule = "shown-alone"    // without any fault, what is asked alone is shown
)

// Breach is a rule that a fault breaks.
type Breach struct {
	Rule     Rule
	Function string
	Lamps    []string
	What     string // what happens
	Script   string // the shortest that shows it, the fault included
	Mend     string // what to do

	presses script.Script
}

// breaches gives the rules that a fault breaks under one script, at most one each for a function, and what it loses.
func (s *stage) breaches(f Fault, all []*served, usual, now *run) (broken []Breach, losses []Loss) {
	lost := map[*served]Loss{}
	for _, v := range all {
		if !now.ran[v.module] {
			continue
		}
		if l, any := s.judge(v, all, usual, now); any {
			lost[v] = l
			losses = append(losses, l)
		}
	}
	add := func(rule Rule, v *served, lamps []string, what string) {
		for _, b := range broken {
			if b.Function == v.function && (b.Rule == rule || b.Rule == OneSideStays) {
				return
			}
		}
		broken = append(broken, Breach{Rule: rule, Function: v.function, Lamps: lamps, What: what, presses: script.Script{Presses: now.script.Presses}})
	}
	for _, v := range all {
		if lamps := bothSides(v, all, lost, usual); lamps != nil {
			add(OneSideStays, v, lamps, fmt.Sprintf("%s: %s on both sides", words(v.function, lamps), lost[v].How))
		}
	}
	for _, v := range all {
		l, any := lost[v]
		if any && l.gone() && (v.function == "stop" || v.function == "turn") && v.fed(now) && !f.excuses(s, v) {
			add(WireIsObeyed, v, []string{v.lamp.Name}, l.String()+", though its wire arrives and its module is fed")
		}
		if now.ran[v.module] && !f.reaches(s, v) && !s.unchanged(v, usual, now) {
			add(OthersStay, v, []string{v.lamp.Name}, v.String()+" is not as without the fault, which does not reach it")
		}
	}
	return broken, losses
}

// excuses tells whether a fault leaves a fed module nothing to obey with: the wire, the output or the module itself is broken.
func (f Fault) excuses(s *stage, v *served) bool {
	switch f.Condition.What {
	case script.Module, script.Output, script.Tap:
		return f.touches(s, v)
	}
	return false
}

// bothSides gives the lamps of a function at one end of the vehicle when it is gone at all of those on the left and all on the right.
func bothSides(v *served, all []*served, lost map[*served]Loss, usual *run) (lamps []string) {
	left, right := 0, 0
	for _, w := range all {
		if w.function != v.function || w.lamp.Place.End != v.lamp.Place.End || side(w.lamp) == lamp.Centre {
			continue
		}
		if l, any := lost[w]; !any || !l.gone() || len(usual.line.Spans(w.asks.Name)) == 0 {
			return nil
		}
		lamps = append(lamps, w.lamp.Name)
		if side(w.lamp) == lamp.LH {
			left++
		} else {
			right++
		}
	}
	if left == 0 || right == 0 {
		return nil
	}
	return lamps
}

// alone judges a function that is asked alone, without any fault.
func (s *stage) alone(v *served, r *run) (what string, bad bool) {
	on := r.line.Spans(v.asks.Name)
	from, to := frames(r, on[0])
	most, first := 0, -1
	for n := from; n < to; n++ {
		light := s.light(r, v, n)
		most = max(most, light)
		if light*shownShare >= v.need && first < 0 {
			first = n
		}
	}
	switch {
	case most == 0:
		return v.String() + " dark", true
	case first < 0:
		return fmt.Sprintf("%s shows no more than %d %% of its light", v, most*100/v.need), true
	case units.Time(first-from)*traceStep > aloneMay && (v.function == "stop" || v.function == "turn"):
		return fmt.Sprintf("%s comes %d ms after its wire", v, int(units.Time(first-from)*traceStep/units.Millisecond)), true
	}
	return "", false
}

// aloneMay is how long a stop or a turn may take to half of its light: a sweep of half of the shortest flash, and the slowest filter. Common
// practice, no source.
const aloneMay = 300 * units.Millisecond
