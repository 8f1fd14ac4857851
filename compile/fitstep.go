package compile

import "slices"

// prepare sets up bands, sums and empty nodes.
func (f *fitter) prepare(samples []int32, tolerance int32, loops, full bool) {
	shown := len(samples)
	f.last, f.loops = shown-1, loops
	if loops {
		f.last = shown
	}
	f.width = int(2*tolerance/unit) + 1
	ticks := f.last + 1
	f.low, f.high = resize(f.low, ticks), resize(f.high, ticks)
	f.runEnd, f.open = resize(f.runEnd, ticks), resize(f.open, ticks+1)
	f.sample = resize(f.sample, ticks)
	f.sum, f.moment, f.square = resize(f.sum, ticks+1), resize(f.moment, ticks+1), resize(f.square, ticks+1)
	f.states, f.lates = resize(f.states, ticks*f.width), resize(f.lates, ticks)
	f.sum[0], f.moment[0], f.square[0] = 0, 0, 0
	for t := range ticks {
		f.low[t], f.high[t] = 0, -1 // nothing is shown
		f.sample[t] = 0
		if t < shown {
			f.low[t], f.high[t] = levelsWithin(samples[t], tolerance)
			if full && restsFull(samples, t, loops) {
				f.low[t] = topLevel
			}
			f.sample[t] = int64(samples[t])
		}
		y := f.sample[t]
		f.sum[t+1], f.moment[t+1], f.square[t+1] = f.sum[t]+y, f.moment[t]+int64(t)*y, f.square[t]+y*y
		f.open[t], f.lates[t].cost = int32(t), unreached
	}
	f.open[ticks] = int32(ticks)
	for s := range f.states {
		f.states[s].cost = unreached
	}
	f.runEnd[ticks-1] = int32(ticks)
	for t := ticks - 2; t >= 0; t-- {
		f.runEnd[t] = f.runEnd[t+1]
		if f.low[t] != f.low[t+1] || f.high[t] != f.high[t+1] {
			f.runEnd[t] = int32(t) + 1
		}
	}
}

// levelsWithin gives the whole levels that differ from a sample by the tolerance at most; both are in 1/256 level.
func levelsWithin(sample, tolerance int32) (low, high int32) {
	return max(0, (sample-tolerance+unit-1)>>8), min(topLevel, (sample+tolerance)>>8)
}

// restsFull tells whether the light rests at full at a tick.
func restsFull(samples []int32, t int, loops bool) bool {
	full := func(t int) bool { return samples[t] == topLevel*unit }
	last := len(samples) - 1
	return full(t) && (t > 0 && full(t-1) || t == 0 && last > 0 && full(1) || t == last && !loops)
}

func resize[T any](s []T, n int) []T {
	return slices.Grow(s[:0], n)[:n]
}

// fadeOut tries the fades from every state of cost c to the ticks that are still open. It gives the last tick reached.
func (f *fitter) fadeOut(c int32, first, last int) (reach int) {
	for t := first; t <= min(last, f.last-1); t++ {
		end := f.nextOpen(t + 1)
		if end > min(t+maxFadeTicks, f.last) {
			continue
		}
		for level := f.low[t]; level <= f.high[t]; level++ {
			if f.states[f.state(t, level)].cost == c {
				reach = max(reach, f.fadesFrom(c, t, level, end))
			}
		}
	}
	return reach
}

// fadesFrom tries the fades from one state to open ticks, the first of which is end.
func (f *fitter) fadesFrom(c int32, t int, level int32, end int) (reach int) {
	from := f.state(t, level)
	cone := cone{base: level * unit, least: -topStep, most: topStep}
	passed := t + 1 // ticks before this one are in the cone
	// Most fades fail long before the first open tick. The bands half-way to it and just before it tell soonest.
	for _, far := range []int{end - 1, (t + end) / 2} {
		if far > t {
			cone.narrow(int32(far-t), int32(far-t), f.low[far], f.high[far])
		}
	}
	if cone.empty() {
		return 0
	}
	for limit := min(t+maxFadeTicks, f.last); end <= limit; end = f.nextOpen(end + 1) {
		for passed < end {
			to := min(int(f.runEnd[passed]), end)
			cone.narrow(int32(passed-t), int32(to-1-t), f.low[passed], f.high[passed])
			passed = to
			if cone.empty() {
				return reach
			}
		}
		q := quotients[end-t]
		for to := f.low[end]; to <= f.high[end]; to++ {
			step := fadeStep(to-level, q)
			if to == level || step < cone.least || step > cone.most || f.states[f.state(end, to)].cost <= c {
				continue
			}
			f.offer(end, to, node{cost: c + 1, prev: from, miss: f.missOf(t, from, level, step, end), how: byFade})
			reach = end
		}
		if f.lates[end].cost <= c+1 || f.restsBefore(end, c+1) {
			continue
		}
		if to, ok := cone.target(level, q); ok {
			f.lates[end] = node{cost: c + 1, prev: from, level: uint8(to), how: byFade,
				miss: f.missOf(t, from, level, fadeStep(to-level, q), end)}
			f.late = append(f.late, end)
			reach = end
		}
	}
	return reach
}

// restsBefore tells whether some level may rest from the tick before at this cost or less: then no late node at the tick
// gives its states a better cost than a jump from, or the rest of, that level.
func (f *fitter) restsBefore(tick int, c int32) bool {
	for level := f.low[tick-1]; level <= f.high[tick-1]; level++ {
		if f.states[f.state(tick-1, level)].cost <= c && mayRest(level) {
			return true
		}
	}
	return false
}

// missOf adds to the miss of a state the squared differences of a fade from it, between its ends. The fade stands at
// level·256 + j·step at tick t+j, and half a level less is shown in the mean.
func (f *fitter) missOf(t int, from int32, level, step int32, end int) int64 {
	n := int64(end - t - 1) // ticks between
	b, s := int64(level)*unit-halfLevel, int64(step)
	sum := f.sum[end] - f.sum[t+1]
	moment := f.moment[end] - f.moment[t+1] - int64(t)*sum
	square := f.square[end] - f.square[t+1]
	j1 := n * (n + 1) / 2
	j2 := n * (n + 1) * (2*n + 1) / 6
	return f.states[from].miss + n*b*b + 2*b*s*j1 + s*s*j2 - 2*b*sum - 2*s*moment + square
}

// quotients are the engine's q for each length of a fade: 65535 / ticks.
var quotients = func() (q [maxFadeTicks + 1]int32) {
	for ticks := 1; ticks <= maxFadeTicks; ticks++ {
		q[ticks] = 65535 / int32(ticks)
	}
	return q
}()

// fadeStep is what the engine adds at each tick of a fade by so many levels, 1/256 level: (d·q)>>16 with d in 1/256 level.
func fadeStep(change, q int32) int32 {
	if change < 0 {
		return -(-change * q >> 8)
	}
	return change * q >> 8
}

// cone is the interval of steps that keep a fade from base (1/256 level) within the bands it has passed.
type cone struct{ base, least, most int32 }

func (c *cone) empty() bool { return c.least > c.most }

// narrow passes a run of ticks, first to last after the start, with one band of levels. Of the run's ticks the first binds
// when the base is outside the band, the last when it is inside.
func (c *cone) narrow(first, last, low, high int32) {
	down, up := low*unit-c.base, high*unit+unit-1-c.base
	if down > 0 {
		if c.least*first < down {
			c.least = (down + first - 1) / first
		}
	} else if c.least*last < down {
		c.least = -(-down / last)
	}
	if up >= 0 {
		if c.most*last > up {
			c.most = up / last
		}
	} else if c.most*first > up {
		c.most = -((-up + first - 1) / first)
	}
}

// target gives the middle one of the levels to which a fade from level stays in the cone, if there is one. A fade to where it
// starts would be a rest in disguise.
func (c *cone) target(level, q int32) (int32, bool) {
	// Greatest change whose step is at most s: the mirror of the least whose step is at least -s.
	least := max(leastChange(c.least, q), -level)
	most := min(-leastChange(-c.most, q), topLevel-level)
	if least > most || least == 0 && most == 0 {
		return 0, false
	}
	change := (least + most) >> 1
	if change == 0 {
		change = 1
		if most == 0 {
			change = -1
		}
	}
	return level + change, true
}

// leastChange gives the least change of level, negative for downwards, whose fade steps by at least step a tick.
func leastChange(step, q int32) int32 {
	if step > 0 {
		return (step*unit + q - 1) / q // change·q>>8 >= step
	}
	return -((-step*unit + unit - 1) / q) // change·q>>8 <= -step
}
