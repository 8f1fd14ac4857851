package job

import (
	"fmt"
	"strings"

	"lampwright/report"
	"lampwright/source"
)

// checker looks at what single keys cannot show: keys that exclude or need one
// another within one value.
type checker struct{ list report.List }

func check(d *Document) report.List {
	var c checker
	for _, e := range d.Lamps.Entries() {
		c.lamp(e)
	}
	for _, e := range d.Modules.Entries() {
		if f := e.Value.Fed; f != nil {
			c.oneOf(f.At, "what feeds the module", "fuse", "only")
			if f.Has("also") && f.Has("only") && !f.Has("fuse") {
				c.list.Add(report.Errorf("excluded-key", f.PlaceOf("also"), "\"also\" goes with \"fuse\" only").
					Because("a module that is fed by one wire alone has no other feed").Do("name the fuse of its battery feed, or delete also:"))
			}
		}
	}
	for _, e := range d.Inputs.Entries() {
		c.oneOf(e.Value.At, "the input", "wire", "shares")
	}
	for _, e := range d.Routines.Entries() {
		for _, s := range e.Value.Strokes {
			c.stroke(s)
		}
	}
	for _, e := range d.Signals.Entries() {
		c.runsSomething(e.Name, e.Value.At)
	}
	for _, e := range d.Shows.Entries() {
		c.runsSomething(e.Name, e.Value.At)
	}
	return c.list
}

func (c *checker) lamp(e source.Entry[Lamp]) {
	lamp := e.Value
	if lamp.Has("opposite-hand-of") {
		for _, key := range []string{"outline", "leds", "zones", "paths", "functions"} {
			if lamp.Has(key) {
				c.list.Add(report.Errorf("excluded-key", lamp.PlaceOf(key), "%q cannot stand beside opposite-hand-of", key).
					Because("the opposite hand takes it from the other lamp, so that the two never differ").
					Do("delete %q here, or draw this lamp by itself without opposite-hand-of", key))
			}
		}
		return
	}
	if !lamp.Has("place") { // a lamp with a place and no LED yet can be looked at; kit says what it lacks
		c.needs(lamp.At, e.Name.Where, fmt.Sprintf("the lamp %q", e.Name.Text), "place and leds, or opposite-hand-of", "place", "leds")
	}
	if lamp.Place != nil {
		c.needs(lamp.Place.At, lamp.Place.Where, fmt.Sprintf("the place of %q", e.Name.Text),
			"end, side and at, as in {end: rear, side: LH, at: [-720 mm, 900 mm]}", "end", "side", "at")
	}
	for _, p := range lamp.LEDs {
		c.pattern(p)
	}
	for _, z := range lamp.Zones.Entries() {
		c.ofOneLamp(z.Value.With)
		c.ofOneLamp(z.Value.Without)
	}
	for _, f := range lamp.Functions.All() {
		c.ofOneLamp(f.Zone)
	}
}

// needs reports those of several keys that are missing.
func (c *checker) needs(at source.At, where report.Place, what, expected string, keys ...string) {
	var missing []string
	for _, key := range keys {
		if !at.Has(key) {
			missing = append(missing, key)
		}
	}
	if len(missing) > 0 {
		c.list.Add(report.Errorf("missing-key", where, "%s lacks %s", what, strings.Join(missing, ", ")).
			Expect("%s", expected).Do("add %s: and what belongs to it", missing[0]))
	}
}

// ofOneLamp refuses regions that name a lamp where only one lamp is meant.
func (c *checker) ofOneLamp(regions source.OneOrMany[Region]) {
	for _, r := range regions.Items {
		if len(r.Names) > 1 {
			d := report.Errorf("bad-value", r.Where, "%q names a lamp, and only groups of this lamp belong here", r.Text).
				Do("leave the lamp's name out")
			d.Suggestion = strings.TrimPrefix(r.Text, r.Names[0]+".")
			c.list.Add(d)
		}
	}
}

func (c *checker) pattern(p Pattern) {
	switch {
	case p.Row != nil:
		c.row(*p.Row)
	case p.Column != nil:
		c.row(*p.Column)
	case p.Arc != nil:
		c.oneOf(p.Arc.At, "the arc", "count", "spacing")
		c.notGrid(p.Arc.Body)
	case p.Line != nil:
		c.oneOf(p.Line.At, "the line", "count", "spacing")
		c.notGrid(p.Line.Body)
	case p.Ring != nil:
		c.notGrid(p.Ring.Body)
	case p.List != nil:
		c.notGrid(p.List.Body)
	case p.Grid != nil:
		if n := p.Grid.Columns * p.Grid.Rows; n > LEDLimit {
			c.list.Add(report.Errorf("out-of-range", p.Grid.Where, "the grid holds too many LEDs").
				Against(fmt.Sprintf("%d LEDs", n), fmt.Sprintf("%d LEDs", LEDLimit), "limit of this program").
				Do("check columns and rows, or split the grid"))
		}
	}
}

func (c *checker) row(r Row) {
	c.oneOf(r.At, "the pattern", "to", "length")
	c.oneOf(r.At, "the pattern", "count", "spacing")
	c.notGrid(r.Body)
}

// notGrid refuses groups of columns and rows outside a grid.
func (c *checker) notGrid(b Body) {
	if b.Group.By == ByColumns || b.Group.By == ByRows {
		c.list.Add(report.Errorf("bad-value", b.Group.Where, "groups of columns or rows are for a grid only").
			Expect("each, all or a number of LEDs, as in 6").Do("say how many LEDs make a group"))
	}
}

// oneOf holds a value to exactly one of two keys that each settle the other.
func (c *checker) oneOf(at source.At, what, a, b string) {
	switch {
	case at.Where.Line == 0: // not keys with values, which was reported
	case at.Has(a) && at.Has(b):
		c.list.Add(report.Errorf("excluded-key", at.PlaceOf(b), "%s has both %q and %q", what, a, b).
			See(at.PlaceOf(a), "the other one").
			Because("each of them settles the other").Do("delete one of them"))
	case !at.Has(a) && !at.Has(b):
		c.list.Add(report.Errorf("missing-key", at.Where, "%s needs %q or %q", what, a, b).
			Expect("one of %s, %s", a, b).Do("add one of them"))
	}
}

func (c *checker) stroke(s Stroke) {
	g := s.Gesture()
	if g == nil {
		return
	}
	if g.Has("every") && !g.Has("times") {
		c.list.Add(report.Errorf("missing-key", g.PlaceOf("every"), "\"every\" needs \"times\" beside it").
			Because("without a number of times the stroke runs once").Do("add times:, or delete every:"))
	}
	if s.Travel() == nil {
		return
	}
	c.oneOf(g.At, "the "+s.Chosen, "direction", "along")
	if g.Has("backwards") && !g.Has("along") {
		c.list.Add(report.Errorf("excluded-key", g.PlaceOf("backwards"), "\"backwards\" goes with \"along\" only").
			Do("write the opposite direction, or travel along a light path"))
	}
}

// runsSomething refuses a signal or show without a routine.
func (c *checker) runsSomething(name source.Name, at source.At) {
	if at.Where.Line > 0 && !at.Has("arrive") && !at.Has("stay") {
		c.list.Add(report.Errorf("missing-key", name.Where, "%q runs no routine", name.Text).
			Expect("arrive, stay or both").Do("name a routine under arrive: or stay:"))
	}
}
