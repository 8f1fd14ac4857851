package compile

import (
	"cmp"
	"fmt"
	"slices"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
	"lampwright/units"
)

// reads gives the mask of the input numbers at which a module's program reads an input: those of its pins or, where the turn is
// told apart from the stop on its wire, those of the turn alone.
func reads(m *kit.Module, in *kit.Input) (mask uint8) {
	if in.Reference == nil {
		return m.InputPins(in)
	}
	for _, p := range in.TurnAlone {
		if p.Module == m {
			mask |= 1 << p.In
		}
	}
	return mask
}

// keepUp is how far apart in time a wire that lights for the stop as well and its reference may be read: a frame less than that after
// which the two count as apart. Farther apart a brake would look like a flash.
const keepUp = feed.ToldApart - program.FrameMS*units.Millisecond

// keepsUp refuses a reference that is read so much later or sooner than the wire that a brake alone would look like a flash.
func (c *compiler) keepsUp(in *kit.Input, delays map[*kit.Input]feed.Delay) {
	worst := feed.Apart(c.filters[in], delays[in], c.filters[in.Reference], delays[in.Reference])
	if worst > keepUp {
		c.list.Add(report.Errorf("stop-reference", in.FeedAt, "%s and its reference %s are read up to %s apart, so that a brake would look like a flash", in.Name, in.Reference.Name, worst).
			Against(worst.String(), keepUp.String(), "docs/engine.md, section 3.2").
			Because("the feeds of the two wires ask for filters of different speed").
			Do("take a reference that is as clean as the wire, such as the pedal's own switch, or write carries-stop: {} without a reference where stop and turn look alike"))
	}
}

// stopTurns gives the wires of a module on which stop and turn are told apart, in the order of their pins, and refuses more than
// a module can.
func (c *compiler) stopTurns(m *kit.Module) (pairs [2]program.StopTurn) {
	var all []program.StopTurn
	var last *kit.Input
	for _, in := range c.kit.Inputs {
		if in.Reference == nil {
			continue
		}
		wires, turns, references := pinsOf(m, in.Pins), pinsOf(m, in.TurnAlone), pinsOf(m, in.Reference.Pins)
		for i := range min(len(wires), len(turns)) {
			if len(references) > 0 {
				all, last = append(all, program.StopTurn{Used: true, Wire: wires[i], Reference: references[0], Turn: turns[i]}), in
			}
		}
	}
	if len(all) > len(pairs) {
		c.list.Add(report.Errorf("carries-stop", last.At, "module %q would have to tell stop and turn apart on %d wires", m.Name, len(all)).
			Against(fmt.Sprint(len(all)), fmt.Sprint(len(pairs)), "docs/image-format.md, section 2").
			Do("take some of these wires away from the module, or write carries-stop: {} without a reference where stop and turn look alike"))
	}
	slices.SortFunc(all, func(a, b program.StopTurn) int { return cmp.Compare(a.Wire, b.Wire) })
	copy(pairs[:], all)
	return pairs
}

// pinsOf gives those of a list of pins that are a module's, in their order.
func pinsOf(m *kit.Module, pins []kit.Pin) (own []uint8) {
	for _, p := range pins {
		if p.Module == m {
			own = append(own, uint8(p.In))
		}
	}
	return own
}

// conditions gives the masks of the inputs that bar a show on a module, and of those of which it needs one. An input without a
// wire to the module is refused: the show would go on there while it ends elsewhere.
func (c *compiler) conditions(m *kit.Module, l *kit.Layer) (notWhile, onlyWhile uint8, ok bool) {
	ok = true
	collect := func(inputs []*kit.Input) (mask uint8) {
		for _, in := range inputs {
			pins := reads(m, in)
			if mask |= pins; pins == 0 {
				ok = false
				c.list.Add(report.Errorf("bar", l.At, "what bars show %q, input %q, has no wire to module %q", l.Name, in.Name, m.Name).
					Because("an interlock cuts shows in every module, and a module knows only its own wires").See(in.At, "the input").
					Do("add a pin of %s to the wire: of %s, or let the show take no groups of lamp %s", m.Name, in.Name, m.Lamp.Name))
			}
		}
		return mask
	}
	return collect(l.NotWhile), collect(l.OnlyWhile), ok
}
