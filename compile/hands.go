package compile

import (
	"lampwright/program"
	"lampwright/report"
)

// join makes one image of a module and of the one whose image it shares. Each hand has its own header, layers and slot maps in it,
// and the side strap chooses between them. The safe block is one: without a good image a module knows no side.
func (c *compiler) join(r *Result, second *Module) {
	first := r.Module(second.Of.SameImageAs)
	if first == nil {
		return
	}
	first.Twin, second.Twin = second, first
	first.Program.Other = second.Program
	one, other := *first.Safe, mirrored(*second.Safe)
	if level := other.TailLevel; level > 0 && (one.TailLevel == 0 || level < one.TailLevel) {
		one.TailLevel = level // the dimmer: a tail is never taken for a stop
	}
	if other.TailLevel = one.TailLevel; one != other {
		c.list.Add(report.Errorf("same-image", second.Of.At, "modules %q and %q cannot share one image: without it they would light differently", first.Of.Name, second.Of.Name).
			Because("both hold one safe block, which tells what comes in on which pin, how it is read, and which outputs it lights").See(first.Of.At, "the other hand").
			Do("wire and solder both alike, each its own side's turn, or give each module an image of its own"))
		first.refused, second.refused = true, true
	}
	first.Safe, second.Safe = &one, &one
}

// mirrored gives the safe block of a hand as that of the other one has it: turn A is the turn of the module's own side.
func mirrored(s program.Safe) program.Safe {
	s.TurnA, s.TurnB, s.TurnAOut, s.TurnBOut = s.TurnB, s.TurnA, s.TurnBOut, s.TurnAOut
	return s
}

// first is the hand whose program names the other; the module itself when it shares nothing.
func (m *Module) first() *Module {
	if m.Of.SameImageAs != nil && m.Twin != nil {
		return m.Twin
	}
	return m
}

// imageBytes is the size of the image, whether or not a module can hold it.
func (m *Module) imageBytes() int { return m.first().Program.ImageBytes() }

// ApartBytes is what the images of both hands would take, each alone; of a module that shares nothing, its own.
func (m *Module) ApartBytes() int {
	bytes := 0
	for _, one := range []*Module{m, m.Twin} {
		if one != nil {
			alone := *one.Program
			alone.Other = nil
			bytes += alone.ImageBytes()
		}
	}
	return bytes
}
