package loader

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/board"
	"lampwright/report"
)

// Wanted is what is to be written, and what it may replace.
type Wanted struct {
	Board   board.Core
	Safe    []byte            // the safe block
	Image   []byte            // the image to write
	Belongs []byte            // the image that belongs into the module: Image itself, but for a wiring walk
	Name    string            // what the builder calls the module
	Known   func(Hand) string // the job's name for a lamp, "" for a stranger; may be nil
	Replace bool              // whatever lamp the module serves now
}

// words tells a hand with the job's name for it.
func (w Wanted) words(h Hand) string {
	if w.Known != nil && !h.Walk {
		if name := w.Known(h); name != "" {
			return fmt.Sprintf("%s (%s)", name, h)
		}
	}
	return h.String()
}

func (w Wanted) all(hands []Hand) string {
	said := make([]string, len(hands))
	for i, h := range hands {
		said[i] = w.words(h)
	}
	return strings.Join(said, ", and ")
}

// refuse tells why what is wanted may not be written into such a module, or nil. With core the core is written as well, so
// the one that is there does not matter.
func (w Wanted) refuse(id Identity, core bool) *report.Diagnostic {
	if !core {
		if d := w.refuseCore(id.Core); d != nil {
			return d
		}
	}
	if w.Replace {
		return nil
	}
	if mark := id.Core; mark != nil && mark.Board != w.Board {
		return fail(IDWrongPair, "the module's board is of the kind %s, and %s is for the kind %s", kindWord(mark.Board), w.Name, w.Board).
			because("outputs would stand on other pins").
			do("take the right module; if its board was really changed, add --replace")
	}
	hands := handsOf(w.Belongs)
	if len(hands) == 0 || len(id.Hands) == 0 {
		return nil
	}
	for _, found := range id.Hands {
		if found.Walk && found.Registers == hands[0].Registers || slices.ContainsFunc(hands, func(h Hand) bool { return sameLamp(h, found) }) {
			return nil
		}
	}
	return fail(IDWrongPair, "the module holds %s; %s is %s", w.all(id.Hands), w.Name, w.all(hands)).
		because("a module in the wrong place shows wrong lights").
		do("take the module that belongs there; if this one is to become %s, add --replace", w.Name)
}

// sameLamp tells whether two images are for one lamp, of one size, on one side of one kit.
func sameLamp(a, b Hand) bool {
	return a.Kit == b.Kit && a.Lamp == b.Lamp && a.Side == b.Side && a.Registers == b.Registers
}

// refuseCore refuses what only a programmer can put right.
func (w Wanted) refuseCore(mark *Mark) *report.Diagnostic {
	const next = "write the module once with a programmer on its six-pin header (leave --serial out): that renews the core"
	switch {
	case mark == nil:
		return fail(IDWrongCore, "the module has no mark of a core that can be loaded over the serial line").do(next)
	case mark.Version != coreVersion:
		return fail(IDWrongCore, "the module's core is of version %d, and %s needs version %d", mark.Version, w.Name, coreVersion).
			because("the serial line cannot write the core").do(next)
	case mark.Board != w.Board:
		return fail(IDWrongCore, "the module's core is for boards of the kind %s, and %s is for the kind %s", kindWord(mark.Board), w.Name, w.Board).
			because("the serial line cannot write the core").
			do("take the right module; if only the core is wrong, write it with a programmer (leave --serial out)")
	}
	return nil
}

func kindWord(core board.Core) string {
	if core == "" {
		return "that this tool does not know"
	}
	return string(core)
}
