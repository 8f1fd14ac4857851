package program

import "fmt"

// linkMinTicks is the shortest stay, in ticks, that the link wire can keep in step: one second.
const linkMinTicks = 250

const limitSlots = "1..64"

// checker collects what is wrong with a program and its other hand. The offsets are those of its image.
type checker struct {
	p      *Program
	at     int    // offset of its header
	of     string // what follows the names of its parts
	fs     Faults
	budget int
	seen   map[*Routine]walked
	bases  map[*Routine]int // offset of a routine in the image; nil while it is not placed
	fades  [MaxFades]bool
}

// check gives the faults of a program, apart from those that only bytes can have. The other hand's header is at other.
func check(p *Program, other int, bases map[*Routine]int) Faults {
	c := &checker{budget: MaxPassOps, seen: map[*Routine]walked{}, bases: bases}
	c.hand(p)
	if o := p.Other; o != nil {
		c.pair(p, o)
		c.at, c.of, c.fades = other, ofOther, [MaxFades]bool{}
		c.hand(o)
	}
	return c.fs
}

// ofOther tells the parts of the second hand from those of the first.
const ofOther = " of the other hand"

// hand checks one of the programs of an image.
func (c *checker) hand(p *Program) {
	c.p = p
	c.header()
	moving := 0
	for i := range p.Layers {
		if l := &p.Layers[i]; l.Still == nil {
			if moving++; moving == MaxMoving+1 {
				c.layer(i, entryFlags, "8 layers that move", "a ninth layer that moves")
			}
		}
		if i > 0 && p.Layers[i-1].Show && !p.Layers[i].Show {
			c.layer(i, entryFlags, "signals before shows", "a signal after a show")
		}
		c.oneLayer(i, &p.Layers[i])
	}
}

// pair checks what the two hands of an image must have in common, and what must tell them apart.
func (c *checker) pair(p, o *Program) {
	if !p.SideByStrap || !o.SideByStrap {
		c.head(atRole, "both with a side strap", "two hands in one image that no strap tells apart")
	}
	if p.Side+o.Side != LH+RH || p.Side == o.Side {
		c.head(atSide, "one LH, the other RH", "two hands of sides %d and %d", p.Side, o.Side)
	}
	if p.Registers != o.Registers {
		c.head(atRegisters, "the same in both hands", "%d registers, the other hand has %d", p.Registers, o.Registers)
	}
	if p.Kit != o.Kit {
		c.head(atKit, "the same in both hands", "kit %08x, the other hand has %08x", p.Kit, o.Kit)
	}
	if o.Other != nil {
		c.head(atOther, "0 in the other hand", "a third hand")
	}
}

func (c *checker) head(at int, limit, what string, a ...any) {
	c.fs.add(c.at+at, "header"+c.of, nextCompile, limit, what, a...)
}

func (c *checker) layer(i, field int, limit, what string, a ...any) {
	c.fs.add(entryAt(c.at, i)+field, c.name(i), nextLayout, limit, what, a...)
}

// name says which layer is meant, in the builder's words where they are known.
func (c *checker) name(i int) string {
	if n := c.p.Layers[i].Name; n != "" {
		return fmt.Sprintf("layer %d%s (%s)", i+1, c.of, n)
	}
	return fmt.Sprintf("layer %d%s", i+1, c.of)
}

func (c *checker) header() {
	p := c.p
	if p.Registers < 1 || p.Registers > MaxRegisters {
		c.head(atRegisters, "1..8", "%d registers", p.Registers)
	}
	if len(p.Layers) > MaxLayers {
		c.head(atLayers, "12", "%d layers", len(p.Layers))
	}
	if p.Walk && len(p.Layers) > 0 {
		c.head(atLayers, "0 in a walk image", "%d layers", len(p.Layers))
	}
	if !p.Walk && len(p.Layers) == 0 {
		c.head(atLayers, "1..12", "no layer: nothing would ever light")
	}
	if p.Side > RH {
		c.head(atSide, "0 centre, 1 LH, 2 RH", "side %d", p.Side)
	}
	if p.SideByStrap && p.Side == Centre {
		c.head(atSide, "1 LH or 2 RH, as a side strap can say", "side 0 with a side strap")
	}
	if p.Walk && p.SleepAfter != 0 {
		c.head(atSleep, "0 in a walk image", "sleep after %d units", p.SleepAfter)
	}
	if p.Walk && p.Live {
		c.head(atLive, "0 in a walk image", "live mode")
	}
	if p.Link > Follower {
		c.head(atRole, "0 none, 1 leader, 2 follower", "link role %d", p.Link)
	}
	for i, m := range p.PacerInput {
		if m&(m-1) != 0 {
			c.head(atPacer+i, "one input", "pacer %d watches inputs 0x%02x", i, m)
		}
	}
}

func (c *checker) oneLayer(i int, l *Layer) {
	n := len(l.Slots)
	if n < 1 || n > MaxOutputs {
		c.layer(i, entrySlots, limitSlots, "%d slots", n)
	}
	if l.InputMask == 0 {
		c.layer(i, entryInputs, "at least one", "no input asks for the layer")
	}
	c.slots(i, l)
	if !l.Show {
		if l.Limit != 0 {
			c.layer(i, entryLimit, "0 for a signal", "a signal with a limit of %d", l.Limit)
		}
		if l.Ends {
			c.layer(i, entryFlags, "shows only", "a signal that ends when interrupted")
		}
	}
	if l.Still != nil {
		c.still(i, l)
	} else {
		c.moving(i, l)
	}
	if l.Fast && !full(l) {
		c.layer(i, entryFlags, "a still signal with all levels 255", "a fast layer that is something else")
	}
	if l.Fast && l.NotWhile|l.OnlyWhile != 0 {
		c.layer(i, entryNotWhile, "none for a fast layer", "a fast layer that other inputs keep off")
	}
	if l.Linked && !(l.Show && l.Stay != nil && l.Stay.Loops && l.Stay.Ticks >= linkMinTicks) {
		c.layer(i, entryFlags, "a show whose stay begins again and lasts at least 250 ticks (1 s)", "a linked layer that is something else")
	}
	if l.Pace >= 0 {
		c.paced(i, l)
	}
}

// full reports whether a layer is a still signal with every output wholly on.
func full(l *Layer) bool {
	for _, v := range l.Still {
		if v != FullLevel {
			return false
		}
	}
	return !l.Show && l.Still != nil
}

func (c *checker) slots(i int, l *Layer) {
	var taken uint64
	for _, o := range l.Slots {
		switch {
		case int(o) >= 8*c.p.Registers:
			c.layer(i, entryMap, fmt.Sprintf("outputs 1..%d", 8*c.p.Registers), "slot map with output %d", int(o)+1)
		case taken>>o&1 == 1:
			c.layer(i, entryMap, "each output once", "slot map with output %d twice", o+1)
		default:
			taken |= 1 << o
		}
	}
}

func (c *checker) still(i int, l *Layer) {
	if len(l.Still) != len(l.Slots) {
		c.layer(i, entryStay, fmt.Sprint(len(l.Slots)), "%d levels for %d slots", len(l.Still), len(l.Slots))
	}
	if l.Arrive != nil || l.Leave != nil || l.Stay != nil {
		c.layer(i, entryArrive, "none", "a still layer with a routine")
	}
	if l.FirstFade != 0 {
		c.layer(i, entryFade, "0 for a still layer", "first fade %d", l.FirstFade)
	}
}

func (c *checker) moving(i int, l *Layer) {
	if l.Stay == nil {
		c.layer(i, entryStay, "a routine, or a still table", "nothing to show in stay")
	}
	most, limit := MaxFades, "0..191"
	if c.p.Live {
		most, limit = MaxFadesLive, "0..180 when live mode is allowed"
	}
	if l.FirstFade < 0 || l.FirstFade+len(l.Slots) > most {
		c.layer(i, entryFade, limit, "fades %d..%d", l.FirstFade, l.FirstFade+len(l.Slots)-1)
	} else {
		for f := l.FirstFade; f < l.FirstFade+len(l.Slots); f++ {
			if c.fades[f] {
				c.layer(i, entryFade, "each fade in one layer", "fade %d belongs to another layer too", f)
				break
			}
			c.fades[f] = true
		}
	}
	c.routine(i, "arrive", l.Arrive, len(l.Slots), entryArriveTicks)
	c.routine(i, "stay", l.Stay, len(l.Slots), entryStayTicks)
	c.routine(i, "leave", l.Leave, len(l.Slots), entryLeave)
}

func (c *checker) paced(i int, l *Layer) {
	switch {
	case l.Pace >= MaxPacers:
		c.layer(i, entryFlags, "0 or 1", "pacer %d", l.Pace)
	case l.Show:
		c.layer(i, entryFlags, "signals only", "a show at the flasher's pace")
	case l.Arrive == nil:
		c.layer(i, entryFlags, "a layer with an arrive routine", "the flasher's pace without one")
	case l.InputMask&(l.InputMask-1) != 0 || c.p.PacerInput[l.Pace] == 0:
		c.layer(i, entryInputs, "one input each", "inputs 0x%02x, while pacer %d watches 0x%02x", l.InputMask, l.Pace, c.p.PacerInput[l.Pace])
	}
}

func (c *checker) routine(i int, part string, r *Routine, slots, field int) {
	if r == nil {
		return
	}
	where := c.name(i) + ", " + part + " routine"
	w, known := c.seen[r]
	if !known {
		var f *flaw
		if w, f = walk(r.Code, &c.budget); f != nil {
			c.fs.add(c.bases[r]+f.at, where, nextCompile, f.limit, "%s", f.what)
			w.ticks = -1
		}
		c.seen[r] = w
	}
	if w.ticks < 0 {
		return
	}
	if r.Ticks < 0 && c.bases != nil { // a leave routine: the image does not state its ticks
		r.Ticks = w.ticks
	}
	if w.ticks != r.Ticks || w.loops != r.Loops {
		c.fs.add(entryAt(c.at, i)+field, where, nextCompile, fmt.Sprintf("what its code does: %d ticks, begins again: %t", w.ticks, w.loops), "stated %d ticks, begins again: %t", r.Ticks, r.Loops)
	}
	if w.reach > slots {
		c.fs.add(c.bases[r], where, nextCompile, fmt.Sprintf("slots 0..%d", slots-1), "code for slot %d", w.reach-1)
	}
}
