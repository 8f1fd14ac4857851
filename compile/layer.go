package compile

import (
	"fmt"
	"strings"

	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
)

// wired tells whether a module can serve a layer: its input has a wire there, and every group that it takes has an output.
func (c *compiler) wired(m *kit.Module, l *kit.Layer) bool {
	ok := true
	if m.InputPins(l.Input) == 0 {
		c.list.Add(report.Errorf("input", l.At, "%q takes groups of lamp %q, but its input %q has no wire to module %q", l.Name, m.Lamp.Name, l.Input.Name, m.Name).
			Because("a module knows only its own wires").See(l.Input.At, "the input").
			Do("add a pin of %s to the input's wire:, or take groups of other lamps", m.Name))
		ok = false
	}
	var loose []string
	usedBy := map[int]int{} // output -> group
	for _, g := range l.Of(m.Lamp) {
		o := m.Output[g]
		other, twice := usedBy[o]
		usedBy[o] = g
		switch {
		case o < 0:
			loose = append(loose, m.Lamp.Groups[g].Name)
		case twice:
			c.list.Add(report.Errorf("wiring", m.WiringAt[g], "groups %s and %s of lamp %q hang on one output, %d", m.Lamp.Groups[other].Name, m.Lamp.Groups[g].Name, m.Lamp.Name, o+1).
				Because("one output cannot show two lights").See(m.WiringAt[other], "the other one").Do("give each group an output of its own"))
			ok = false
		case o >= m.Board.Outputs:
			c.list.Add(report.Errorf("wiring", m.WiringAt[g], "group %s of lamp %q hangs on output %d, beyond board %s", m.Lamp.Groups[g].Name, m.Lamp.Name, o+1, m.Board.Name).
				Against(fmt.Sprintf("output %d", o+1), fmt.Sprintf("%d outputs", m.Board.Outputs), "board data").
				Do("use outputs 1 to %d, or a board with more", m.Board.Outputs))
			ok = false
		}
	}
	if len(loose) > 0 {
		c.list.Add(report.Errorf("unwired", m.At, "%q takes groups of lamp %q that hang on no output: %s", l.Name, m.Lamp.Name, strings.Join(loose, ", ")).
			Because("they would stay dark whatever it says").See(l.At, "%s", l.Name).
			Do("name their outputs under wiring: of module %s, or leave them out of takes: of %s", m.Name, l.Name))
		ok = false
	}
	return ok
}

// layer compiles one signal or show for one module; below are the layers of the module after it.
func (c *compiler) layer(m *kit.Module, l *kit.Layer, below []*kit.Layer) (*program.Layer, *Layer) {
	c.wanted.ask()
	groups := l.Of(m.Lamp)
	parts, ok := c.parts(m.Lamp, l, groups)
	if !ok {
		return nil, nil
	}
	notWhile, onlyWhile, reached := c.conditions(m, l)
	if !reached {
		return nil, nil
	}
	out := &program.Layer{
		Name: l.Name, Show: l.Show, Pace: -1, InputMask: reads(m, l.Input), NotWhile: notWhile, OnlyWhile: onlyWhile,
		Window: frames(windowMS(l)), Keep: frames(keepMS(l, shares(m.Lamp, groups, below))),
	}
	if l.Show {
		out.Limit, out.Ends = limitUnits(l.LimitMS), l.Ends
	}
	facts := &Layer{Of: l, Groups: groups, Moved: parts.moved()}
	if levels, still := parts.still(); still {
		out.Still, out.Window = levels, 0 // there is no arrive to skip
		out.Fast = !l.Show && l.Input.Road == "stop" && allFull(levels)
	} else {
		if facts.Groups, ok = c.encodeParts(m, l, parts, out, facts); !ok {
			return nil, nil
		}
		if l.Flasher && out.Arrive != nil {
			out.Pace = 0 // its number follows
		}
		out.Linked = l.Show && m.Link != "" && out.Stay.Loops && out.Stay.Ticks >= linkTicks
		if l.Show && m.Link != "" && out.Stay.Loops && !out.Linked && len(l.Takes) > 1 {
			c.list.Add(report.Cautionf("short-loop", l.At, "show %q repeats too fast to be kept in step between modules", l.Name).
				Because("the modules' clocks drift apart while it runs").
				Against(fmt.Sprintf("%d ms", out.Stay.Ticks*program.FrameMS), fmt.Sprintf("%d ms", linkTicks*program.FrameMS), "docs/engine.md, section 6").
				See(l.Stay.At, "its stay routine").Do("write several rounds into the routine, so that it lasts a second or more"))
		}
	}
	for _, g := range facts.Groups {
		out.Slots = append(out.Slots, uint8(m.Output[g]))
	}
	return out, facts
}

// linkTicks is the shortest stay that the link wire keeps in step: one second of marks (docs/engine.md, section 6).
const linkTicks = 250

// shares tells whether any of the layers takes one of the groups.
func shares(l *kit.Lamp, groups []int, layers []*kit.Layer) bool {
	taken := make(map[int]bool, len(groups))
	for _, g := range groups {
		taken[g] = true
	}
	for _, other := range layers {
		for _, g := range other.Of(l) {
			if taken[g] {
				return true
			}
		}
	}
	return false
}

func allFull(levels []uint8) bool {
	for _, level := range levels {
		if level != topLevel {
			return false
		}
	}
	return true
}
