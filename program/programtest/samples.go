package programtest

import (
	"slices"

	"lampwright/program"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

// RandomSafe draws a safe block that suits a program.
func RandomSafe(t *rapid.T, p *program.Program) *program.Safe {
	s := &program.Safe{
		Registers: p.Registers,
		TailLevel: rapid.Uint8().Draw(t, "tail level"),
		Stop:      rapid.Uint8Range(0, 1<<inputs-1).Draw(t, "stop inputs"),
		Tail:      rapid.Uint8Range(0, 1<<inputs-1).Draw(t, "tail inputs"),
		TurnA:     rapid.Uint8Range(0, 1<<inputs-1).Draw(t, "turn A inputs"),
		TurnB:     rapid.Uint8Range(0, 1<<inputs-1).Draw(t, "turn B inputs"),
		Invert:    rapid.Uint8().Draw(t, "inverted inputs"),
	}
	s.StopTurn = stopTurns(t, p)
	if chance(t, "over-voltage", 3) {
		s.Over = rapid.OneOf(rapid.Uint8Range(program.CodesAtStart.Supply+1, 200), rapid.Uint8Range(program.CodesAtStart.Supply+1, 255), rapid.Uint8Range(1, 255)).Draw(t, "over")
	}
	s.TurnWaits = chance(t, "turn waits", 3)
	if chance(t, "shared", 4) {
		pair := slices.DeleteFunc(rapid.Permutation([]uint8{0, 1, 2, 3, 4, 5, 6, 7}).Draw(t, "shared inputs"), func(i uint8) bool {
			return slices.ContainsFunc(s.StopTurn[:], func(w program.StopTurn) bool { return w.Used && w.Turn == i })
		})
		s.Shared = program.Shared{Used: true, From: pair[0], As: pair[1]}
	}
	for i := range s.On {
		s.On[i] = count(t, "on count")
		s.Off[i] = count(t, "off count")
		if rapid.IntRange(0, 2).Draw(t, "gap kind") == 0 {
			s.Gap[i] = 4 * rapid.Uint8Range(0, 15).Draw(t, "gap")
		}
	}
	for r := range p.Registers {
		s.StopOut[r] = rapid.Uint8().Draw(t, "stop outputs")
		s.TailOut[r] = rapid.Uint8().Draw(t, "tail outputs")
		s.TurnAOut[r] = rapid.Uint8().Draw(t, "turn A outputs")
		s.TurnBOut[r] = rapid.Uint8().Draw(t, "turn B outputs")
	}
	return s
}

// count draws a filter count, in refreshes: mostly such as are used, seldom anything.
func count(t *rapid.T, label string) uint8 {
	if rapid.IntRange(0, 9).Draw(t, label+" kind") == 0 {
		return rapid.Uint8Range(1, 255).Draw(t, label)
	}
	return rapid.Uint8Range(1, 20).Draw(t, label)
}

// RandomSamples draws samples of a number of refreshes for a program that runs with a safe block: presses, flashers with
// and without scatter, one of which brings the supply, chatter, brakes and flashes on stop-and-turn wires, marks on the link wire, codes about the limits, and
// streamed frames. Codes change in the middle of a frame, away from the snapshots.
func RandomSamples(t *rapid.T, p *program.Program, s *program.Safe, refreshes int) []vector.Run {
	pause := 0
	if p.SleepAfter > 0 && rapid.IntRange(0, 2).Draw(t, "idle at first") < 2 {
		pause = rapid.IntRange(800, 2500).Draw(t, "idle")
	}
	lines := make([]*line, inputs, inputs+1)
	for i := range lines {
		lines[i] = &line{t: t, now: pause}
	}
	for _, w := range s.StopTurn {
		if w.Used && lines[w.Wire].now == pause && lines[w.Reference].now == pause && chance(t, "drawn together", 2) {
			carry(t, lines[w.Wire], lines[w.Reference], refreshes)
		}
	}
	for i, l := range lines {
		paced := slices.Contains(p.PacerInput[:], 1<<i)
		if paced && p.TurnFed && l.now == 0 && rapid.Bool().Draw(t, "brings the supply") {
			l.pulse(1, l.draw(200, 1900))
		}
		for l.now < refreshes {
			l.input(paced, int(s.On[i]), int(s.Off[i]))
		}
	}
	link := &line{t: t}
	for link.now < refreshes {
		link.marks(p.Link == program.Follower)
	}
	return merge(append(lines, link), happenings(t, p, s, refreshes), refreshes, s.Invert)
}

// line draws one wire as the moments of its edges; it begins idle.
type line struct {
	t     *rapid.T
	now   int   // refreshes drawn
	edges []int // refreshes before each edge, ascending
}

// hold lets time pass and then turns the wire over.
func (l *line) hold(refreshes int) {
	l.now += refreshes
	l.edges = append(l.edges, l.now)
}

func (l *line) pulse(before, length int) {
	l.hold(before)
	l.hold(length)
}

func (l *line) draw(low, high int) int { return rapid.IntRange(low, high).Draw(l.t, "refreshes") }

func (l *line) input(paced bool, on, off int) {
	kind := rapid.IntRange(0, 5).Draw(l.t, "input does")
	if paced && kind > 1 {
		kind = 5
	}
	switch kind {
	case 0:
		l.now += l.draw(1, 6000)
	case 1, 2:
		l.pulse(l.draw(1, 2000), l.draw(1, 6000))
	case 3:
		for range rapid.IntRange(1, 6).Draw(l.t, "chatter") {
			l.pulse(l.draw(1, off+2), l.draw(1, on+2))
		}
	case 4:
		for range rapid.IntRange(1, 8).Draw(l.t, "presses") {
			l.pulse(off+l.draw(0, 80), on+l.draw(0, 80))
		}
	default:
		long, gap := l.draw(200, 1900), l.draw(off+1, 1500)
		scatter := rapid.SampledFrom([]int{0, 2, 20, 100}).Draw(l.t, "scatter")
		for range rapid.IntRange(1, 16).Draw(l.t, "flashes") {
			l.pulse(gap, long+l.draw(-scatter, scatter))
		}
	}
}

const secondRefreshes = 250 * program.RefreshesPerFrame

func (l *line) marks(often bool) {
	kind := rapid.IntRange(0, 5).Draw(l.t, "link does")
	if !often {
		kind = min(kind, 1)
	}
	switch kind {
	case 0:
		l.now += l.draw(1, 8000)
	case 1:
		l.pulse(l.draw(1, 4000), l.draw(1, 300))
	case 2:
		l.pulse(l.draw(1, 3000), 32)
	case 3:
		l.pulse(l.draw(1, 100), l.draw(1, 70))
	default:
		drift := l.draw(-40, 40)
		for range rapid.IntRange(2, 8).Draw(l.t, "seconds") {
			l.pulse(secondRefreshes-16+drift+l.draw(-2, 2), 16)
		}
		l.pulse(secondRefreshes-32+drift, 32)
	}
}

// merge makes runs of the wires, with what happens beside them. The last wire is the link: high when idle. An inverted input is
// high when idle too.
func merge(lines []*line, beside map[int]happening, refreshes int, invert uint8) []vector.Run {
	moments := []int{refreshes}
	for at := range beside {
		moments = append(moments, at)
	}
	for _, l := range lines {
		for _, at := range l.edges {
			if at < refreshes {
				moments = append(moments, at)
			}
		}
	}
	slices.Sort(moments)
	var runs []vector.Run
	state := vector.Run{In: invert, Link: true}
	next := make([]int, len(lines))
	from := 0
	for _, to := range slices.Compact(moments) {
		state.Refreshes = to - from
		if to > from {
			state.Codes, state.Live = beside[from].codes, beside[from].live
			runs = append(runs, state)
		}
		for i, l := range lines {
			for next[i] < len(l.edges) && l.edges[next[i]] == to {
				next[i]++
				if i == len(lines)-1 {
					state.Link = !state.Link
				} else {
					state.In ^= 1 << i
				}
			}
		}
		from = to
	}
	return runs
}
