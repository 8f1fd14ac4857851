package proof

import (
	"cmp"
	"fmt"
	"slices"

	"lampwright/script"
	"lampwright/units"
)

// How is in which way a road function is not what it is without a fault.
type How string

// The ways, the worst first.
const (
	Dark   How = "dark"   // asked and not shown
	Steady How = "steady" // a turn that does not flash
	Gap    How = "gap"    // dark for a time in between
	Late   How = "late"
	Dim    How = "dim"
	Lit    How = "lit" // though nobody asks
)

// worst gives the order of ways; less is worse.
func (h How) worst() int { return slices.Index([]How{Dark, Steady, Gap, Late, Dim, Lit}, h) }

// Loss is a road function of a lamp that a fault takes away or changes.
type Loss struct {
	Function, Lamp string
	How            How
	DarkMS         int // of Late: before it comes; of Gap: the longest
	Percent        int // of Dim: of its usual light
	Script         string
}

// gone tells whether the function does not do its work. A turn may miss its first flash: its wire tells more by the next.
func (l Loss) gone() bool {
	switch l.How {
	case Dark, Steady, Gap:
		return true
	case Late:
		return l.Function != "turn" || units.Time(l.DarkMS)*units.Millisecond >= flashGap
	}
	return false
}

// String tells the loss: "stop at tail-lh dark".
func (l Loss) String() string {
	text := words(l.Function, []string{l.Lamp}) + " "
	switch l.How {
	case Late:
		return text + fmt.Sprintf("late by %d ms", l.DarkMS)
	case Gap:
		return text + fmt.Sprintf("dark for %d ms in between", l.DarkMS)
	case Dim:
		return text + fmt.Sprintf("dim, %d %% of its light", l.Percent)
	case Steady:
		return text + "does not flash"
	case Lit:
		return text + "lit though nobody asks"
	}
	return text + string(l.How)
}

// Shares of a function's own light: from half of it on it is shown, below a tenth of it it is dark. Common practice, no source: an
// eye that expects a lamp sees neither more nor less.
const (
	shownShare = 2
	darkShare  = 10
)

// judge compares what became of one function under one script with what it is without the fault. It gives the worst that happens.
func (s *stage) judge(v *served, all []*served, usual, now *run) (worst Loss, any bool) {
	take := func(l Loss) {
		if !any || l.How.worst() < worst.How.worst() {
			l.Function, l.Lamp, l.Script = v.function, v.lamp.Name, script.Format(now.script)
			worst, any = l, true
		}
	}
	on, off := v.asked(usual)
	for len(on) > 0 {
		n := 1
		for n < len(on) && on[n].From-on[n-1].To < flashGap {
			n++
		}
		if l, lost := s.use(v, on[:n], usual, now); lost {
			take(l)
		}
		on = on[n:]
	}
	for i, span := range off {
		if v.function == "turn" && i > 0 && i < len(off)-1 && span.To-span.From < flashGap {
			if s.litThough(v, span, usual, now, nil) {
				take(Loss{How: Steady})
			}
		} else if s.litThough(v, span, usual, now, all) {
			take(Loss{How: Lit})
		}
	}
	return worst, any
}

// flashGap is longer than any dark time of a flasher.
const flashGap = units.Second

// use judges one use of a function: one press, or all flashes of one. Flashes that are missing before the first are late light.
func (s *stage) use(v *served, spans []script.Span, usual, now *run) (worst Loss, any bool) {
	began := false
	for _, span := range spans {
		l, lost := s.whileAsked(v, span, usual, now)
		switch {
		case !lost && !began && any && worst.How == Dark:
			began, worst = true, Loss{How: Late, DarkMS: int((span.From - spans[0].From) / units.Millisecond)}
		case !lost:
			began = true
		case !any || l.How.worst() < worst.How.worst():
			worst, any = l, true
		}
	}
	return worst, any
}

// whileAsked judges one time at which the function is asked.
func (s *stage) whileAsked(v *served, span script.Span, usual, now *run) (Loss, bool) {
	from, to := frames(usual, span)
	var lit, visible, before, after, gap, longest int
	firstLit, firstVisible := -1, -1
	for n := from; n < to; n++ {
		was, is := s.light(usual, v, n), s.light(now, v, n)
		if was*shownShare >= v.need {
			if lit++; firstLit < 0 {
				firstLit = n
			}
			before, after = before+min(was, v.need), after+min(is, v.need)
			if gap++; is*darkShare >= v.need || visible == 0 {
				gap = 0
			}
			longest = max(longest, gap)
		}
		if is*darkShare >= v.need {
			if visible++; firstVisible < 0 {
				firstVisible = n
			}
		}
	}
	late := units.Time(firstVisible-firstLit) * traceStep
	switch {
	case lit == 0:
		return Loss{}, false // it is not shown then without a fault either: others come first
	case visible*darkShare < lit:
		return Loss{How: Dark}, true
	case late > lateMay:
		return Loss{How: Late, DarkMS: int(late / units.Millisecond)}, true
	case visible*2 < lit:
		return Loss{How: Dark}, true
	case units.Time(longest)*traceStep > gapMay:
		return Loss{How: Gap, DarkMS: longest * int(traceStep/units.Millisecond)}, true
	case after*shownShare < before:
		return Loss{How: Dim, Percent: after * 100 / before}, true
	}
	return Loss{}, false
}

// litThough tells whether the function is lit while it is not asked and, without the fault, is not. Times at which another function asks
// for some of its groups do not count.
func (s *stage) litThough(v *served, span script.Span, usual, now *run, others []*served) bool {
	from, to := frames(usual, span)
	dark, still := 0, 0
	for n := from; n < to; n++ {
		if slices.ContainsFunc(others, func(w *served) bool {
			return w != v && w.shares(v) && usual.line.Level(w.asks.Name, units.Time(n)*traceStep)
		}) {
			continue
		}
		if s.light(usual, v, n)*shownShare < v.need {
			if dark++; s.light(now, v, n)*shownShare < v.need {
				still++
			}
		}
	}
	return units.Time(dark)*traceStep > calm/2 && still*2 < dark
}

// shares tells whether two functions have a group in common.
func (v *served) shares(w *served) bool {
	return v.module == w.module && slices.ContainsFunc(v.columns, func(c int) bool { return slices.Contains(w.columns, c) })
}

// unchanged tells whether a function is lit in every frame as it is without the fault.
func (s *stage) unchanged(v *served, usual, now *run) bool {
	for n := range usual.frames {
		for _, c := range v.columns {
			if usual.at(s, n, c) != now.at(s, n, c) {
				return false
			}
		}
	}
	return true
}

// gapMay is how long a lamp may be dark in between: what an eye takes for a flicker. Common practice, no source.
const gapMay = 100 * units.Millisecond

// sortLosses puts the worst first, otherwise in the order found, and keeps one of each function and lamp.
func sortLosses(losses []Loss) []Loss {
	slices.SortStableFunc(losses, func(a, b Loss) int { return cmp.Compare(a.How.worst(), b.How.worst()) })
	var out []Loss
	for _, l := range losses {
		if !slices.ContainsFunc(out, func(o Loss) bool { return o.Function == l.Function && o.Lamp == l.Lamp }) {
			out = append(out, l)
		}
	}
	return out
}
