package compile

import "math"

// A fade moves one group straight to a level. It starts at a tick, after the fades of that tick have stepped, and plays
// to its end: Ticks ticks later the level is exactly Level. Ticks 0 is a jump within its tick.
type fade struct {
	Tick  int   // 0..65535
	Level uint8 // where it ends
	Ticks int   // 0..255
}

const (
	unit         = 256        // the engine counts 1/256 level
	topLevel     = 255        // levels
	topStep      = 255 * unit // no fade steps further in one tick, 1/256 level
	maxFadeTicks = 255        // ticks
	halfLevel    = unit / 2   // a moving level is shown truncated: half a level low in the mean
	minTolerance = unit       // 1/256 level; less could leave no way round a level that may not rest
	unreached    = math.MaxInt32
	fromNothing  = -1
)

// How a state was reached.
const (
	byStart uint8 = iota
	byHold
	byJump     // from a level that rested until the tick before
	byFade     // a fade that ends here
	byLateJump // a fade ends here outside the band, and a jump replaces its last level
)

// fitter finds the fewest fades that play a sequence of levels within a tolerance. It keeps its memory from call to call.
//
// # What is wanted
//
// The wanted light is one sample a tick. What is shown at a tick may differ from its sample by the tolerance, at rest, at the
// ends of a fade and while a fade passes alike.
//
// # Method
//
// A fade that has run to its end leaves the level at exactly Level·256, whatever came before. So an encoding whose fades all
// run to their end is a path in a graph: a state is (tick, whole level) with the level within the tolerance of that tick's
// sample; a hold leads from a state to the same level one tick later and costs nothing; a jump leads to any level within the
// tolerance of the next tick and costs 1; a fade leads from (t, a) to (t+F, b) and costs 1, provided that all levels it shows
// between lie in the bands of their ticks. A fade may also end elsewhere if a jump replaces its last level in the same tick; a
// second kind of node (late) stands for that. The fewest fades are a shortest path. Approximation by the fewest segments as a
// shortest path: H. Imai and M. Iri, "Computational-geometric methods for polygonal approximations of a curve", Computer
// Vision, Graphics, and Image Processing 36 (1986) 31-41; the recursion is R. Bellman, "On the approximation of curves by
// line segments using dynamic programming", Communications of the ACM 4 (1961) 284.
//
// # Why the result is minimal
//
// Paths are grown in order of cost c = 0, 1, 2 ... (breadth first, holds closed at each cost), so the first cost at which the
// last tick is reached is the least over all edges looked at. Edges left out are of two kinds. Fades from a state of cost c
// that end at a tick all of whose states already have cost ≤ c+1: such a fade could give its end the cost c+1 and, by a late
// jump, other states c+2, and no state improves. Late nodes of cost c+1 at a tick before which some level of cost ≤ c+1 may
// rest: a jump from that rest does the same. Every other fade is looked at and judged by the engine's own integers: between
// its ends a fade stands at a·256 + j·step with one whole step, so the bands of the ticks passed leave an interval of steps (a
// cone), and the fade is accepted exactly if the step that the engine would take lies in it. A run of equal bands narrows the
// cone only at its first or last tick, so it is taken at once. Minimal here means: over encodings whose fades run to their
// end, that start, end and rest within the tolerance of the samples, rest only at levels that may rest, and pass every tick
// within its band.
//
// Of equally short paths the one with the least sum of squared differences wins (half a level is allowed for the truncation
// of moving levels), then the one found first; so the result is always the same.
type fitter struct {
	last  int // last tick; nothing is shown at it if the routine loops
	loops bool
	width int // states per tick

	low, high []int32 // band of levels at each tick
	runEnd    []int32 // first later tick with another band
	sample    []int64 // 1/256 level
	sum       []int64 // Σ sample of the ticks before
	moment    []int64 // Σ tick·sample of the ticks before
	square    []int64 // Σ sample² of the ticks before

	states []node  // width to a tick
	lates  []node  // one to a tick
	late   []int   // ticks whose late node has the present cost; filled for the next cost by fadeOut
	open   []int32 // least tick at or after this one that may still hold a state to improve
}

// node is the best way to a state.
type node struct {
	cost  int32 // fades
	prev  int32 // state before
	miss  int64 // sum of squared differences, (1/256 level)²
	level uint8 // of a late node: where its fade ends
	how   uint8
}

// better tells whether a way of this cost and miss improves the node.
func (n *node) better(cost int32, miss int64) bool {
	return cost < n.cost || cost == n.cost && miss < n.miss
}

// fit gives the fewest fades, in order of time, that play samples (1/256 level, one a tick) from a dark start. What the
// engine shows misses the samples by at most tolerance (1/256 level, at least one level) at every tick; with full, not at all
// where they rest at full. A routine that loops starts again at tick len(samples); a fade may end there unseen. No samples give
// no fades.
func (f *fitter) fit(samples []int32, tolerance int32, loops, full bool) []fade {
	if len(samples) == 0 {
		return nil
	}
	f.prepare(samples, max(tolerance, minTolerance), loops, full)
	f.lates[0] = node{prev: fromNothing}
	f.late = append(f.late[:0], 0)
	if f.low[0] == 0 {
		f.states[0] = node{prev: fromNothing, miss: f.off(0, 0)}
	}
	first, reach := 0, 0
	for c := int32(0); ; c++ {
		last := f.closeHolds(c, first, reach)
		if path, done := f.arrived(c); done {
			return path
		}
		reach = max(reach, last, f.jump(c, first, last))
		f.shut(c, first, reach)
		reach = max(reach, f.fadeOut(c, first, last))
		for !f.costs(first, c+1) {
			first++
		}
	}
}

// state gives the index of a state.
func (f *fitter) state(tick int, level int32) int32 {
	return int32(tick*f.width) + level - f.low[tick]
}

// place gives tick and level of a state.
func (f *fitter) place(state int32) (int, int32) {
	tick := int(state) / f.width
	return tick, f.low[tick] + state%int32(f.width)
}

// off gives the squared difference of a level that rests at a tick.
func (f *fitter) off(tick int, level int32) int64 {
	d := int64(level)*unit - f.sample[tick]
	return d * d
}

// costs tells whether the tick has a state or a late node of just this cost.
func (f *fitter) costs(tick int, c int32) bool {
	for level := f.low[tick]; level <= f.high[tick]; level++ {
		if f.states[f.state(tick, level)].cost == c {
			return true
		}
	}
	return f.lates[tick].cost == c
}

// closeHolds lets every state of cost c rest for as long as its band allows. It gives the last tick that has such a state.
func (f *fitter) closeHolds(c int32, first, reach int) (last int) {
	last = first
	for t := first; t <= max(last, reach); t++ {
		for level := f.low[t]; level <= f.high[t]; level++ {
			s := f.state(t, level)
			if f.states[s].cost != c {
				continue
			}
			last = max(last, t)
			if t == f.last || !mayRest(level) || level < f.low[t+1] || level > f.high[t+1] {
				continue
			}
			next := &f.states[f.state(t+1, level)]
			if miss := f.states[s].miss + f.off(t+1, level); next.better(c, miss) {
				*next = node{cost: c, prev: s, miss: miss, how: byHold}
			}
			last = max(last, t+1)
		}
	}
	return last
}

// jump goes from every rest, and from every late node, of cost c. It gives the last tick reached.
func (f *fitter) jump(c int32, first, last int) (reach int) {
	for t := first; t <= min(last, f.last-1); t++ {
		for level := f.low[t]; level <= f.high[t]; level++ {
			s := f.state(t, level)
			if f.states[s].cost != c {
				continue
			}
			for to := f.low[t+1]; to <= f.high[t+1]; to++ {
				if to != level {
					f.offer(t+1, to, node{cost: c + 1, prev: s, miss: f.states[s].miss, how: byJump})
				}
			}
			reach = max(reach, t+1)
		}
	}
	for _, t := range f.late {
		for to := f.low[t]; to <= f.high[t]; to++ {
			if to != int32(f.lates[t].level) {
				f.offer(t, to, node{cost: c + 1, prev: fromNothing, miss: f.lates[t].miss, how: byLateJump})
			}
		}
		reach = max(reach, t)
	}
	f.late = f.late[:0]
	return reach
}

// offer adds the difference at the end to a way and takes it if it improves the state.
func (f *fitter) offer(tick int, level int32, way node) {
	way.miss += f.off(tick, level)
	if n := &f.states[f.state(tick, level)]; n.better(way.cost, way.miss) {
		*n = way
	}
}

// shut closes the ticks that fades from cost c cannot improve.
func (f *fitter) shut(c int32, first, reach int) {
	for t := first; t <= min(reach, f.last); t++ {
		if f.open[t] != int32(t) || f.loops && t == f.last {
			continue
		}
		shut := true
		for level := f.low[t]; level <= f.high[t] && shut; level++ {
			shut = f.states[f.state(t, level)].cost <= c+1
		}
		if shut {
			f.open[t] = int32(t) + 1
		}
	}
}

// nextOpen gives the least open tick at or after t; f.last + 1 if there is none.
func (f *fitter) nextOpen(t int) int {
	end := t
	for int(f.open[end]) != end {
		end = int(f.open[end])
	}
	for int(f.open[t]) != t {
		t, f.open[t] = int(f.open[t]), int32(end)
	}
	return end
}
