package web

import (
	"cmp"
	"slices"

	"lampwright/car"
	"lampwright/script"
	"lampwright/units"
)

// recordLongest is how long the bench writes down what is done: what it writes can be shown, with a crank at its end.
const recordLongest = filmLongest - filmTail - 2*crankLasts

// recorder writes down what is done to the switches as a script.
type recorder struct {
	on      bool
	from    units.Time // of the bench
	done    script.Script
	presses map[string]script.Press // under way, by input; times are the bench's
	world   map[script.What]script.Condition
}

func (c *recorder) begin(w *switches, now units.Time) {
	*c = recorder{on: true, from: now, presses: map[string]script.Press{}, world: map[script.What]script.Condition{}}
	c.see(w, now)
}

// see compares the switches with what is under way: what changed ends, and what is new begins.
func (c *recorder) see(w *switches, now units.Time) {
	if !c.on {
		return
	}
	for input, p := range c.presses {
		if want, on := asPress(w, input, now); !on || want.Flash != p.Flash || want.Flash.Rate > 0 && want.From != p.From && want.From > c.from {
			c.end(p, now)
			delete(c.presses, input)
		}
	}
	for _, input := range w.inputs() {
		if _, going := c.presses[input]; !going {
			if p, on := asPress(w, input, now); on {
				c.presses[input] = p
			}
		}
	}
	holds := map[script.What]script.Condition{}
	if w.supply != usualSupply {
		holds[script.Supply] = script.Condition{What: script.Supply, Volts: w.supply}
	}
	if w.heat != car.RoomDegrees {
		holds[script.Heat] = script.Condition{What: script.Heat, Degrees: w.heat}
	}
	if w.gone {
		holds[script.Battery] = script.Condition{What: script.Battery, Is: script.Gone}
	}
	for what, old := range c.world {
		want := holds[what]
		if want.From, want.To = old.From, old.To; want != old {
			c.endCondition(old, now)
			delete(c.world, what)
		}
	}
	for what, want := range holds {
		if _, going := c.world[what]; !going {
			want.From = now
			c.world[what] = want
		}
	}
}

// cranked writes down that the engine is started.
func (c *recorder) cranked(now units.Time) {
	if c.on {
		c.done.World = append(c.done.World, script.Condition{What: script.Supply, Is: script.Crank, From: now - c.from, To: now - c.from + crankLasts})
	}
}

// asPress gives an input as a press that began now, or with its first flash.
func asPress(w *switches, input string, now units.Time) (script.Press, bool) {
	switch how, since := w.pressed(input); how {
	case switchOn:
		return script.Press{Input: input, From: now}, true
	case switchFlash:
		return script.Press{Input: input, From: since, Flash: w.flash}, true
	}
	return script.Press{}, false
}

func (c *recorder) end(p script.Press, now units.Time) {
	from := max(p.From, c.from) // what flashed before the recording began, begins with it
	p.From, p.To = from-c.from, now-c.from
	if p.Flash.Rate > 0 && p.Flash.Turns(0) >= p.To-p.From { // less than a flash
		p.Flash = script.Flash{}
	}
	if p.To > p.From {
		c.done.Presses = append(c.done.Presses, p)
	}
}

func (c *recorder) endCondition(o script.Condition, now units.Time) {
	o.From, o.To = o.From-c.from, now-c.from
	if o.To > o.From {
		c.done.World = append(c.done.World, o)
	}
}

// finish ends what is under way and gives the whole as a script.
func (c *recorder) finish(now units.Time) script.Script {
	for _, p := range c.presses {
		c.end(p, now)
	}
	for _, o := range c.world {
		c.endCondition(o, now)
	}
	slices.SortFunc(c.done.Presses, func(a, b script.Press) int { return cmp.Or(cmp.Compare(a.From, b.From), cmp.Compare(a.Input, b.Input)) })
	slices.SortStableFunc(c.done.World, func(a, b script.Condition) int { // of several for one thing the last counts: a crank comes behind the supply
		return cmp.Or(cmp.Compare(crankRank(a), crankRank(b)), cmp.Compare(a.From, b.From), cmp.Compare(a.What, b.What))
	})
	c.on = false
	return c.done
}

func crankRank(c script.Condition) int {
	if c.Is == script.Crank {
		return 1
	}
	return 0
}
