package proof

import (
	"slices"
	"strings"

	"lampwright/kit"
	"lampwright/script"
	"lampwright/units"
)

// How road signals are asked while something is broken: one alone, one twice, then two in both orders, the second joining the first and
// outlasting it. Long enough for three flashes, and after what came with the fault or the supply is over: every module has checked its
// image (88 jobs of 4 ms at the most), a turn that looked on is no turn any more (docs/engine.md, section 3.2).
const (
	askAt    = 3 * units.Second
	askFor   = 2 * units.Second
	joinAt   = askAt + 700*units.Millisecond
	againAt  = askAt + askFor + 500*units.Millisecond
	askTail  = 700 * units.Millisecond // goes on after the last press
	askRate  = 90_000                  // thousandths of a flash a minute: within every market's 60 to 120 (UN R48, 6.5.9, from memory)
	askShare = 500                     // on half of the time
)

// ask is one thing that a driver asks for: the inputs it presses.
type ask struct {
	name   string
	inputs []*kit.Input
}

// asksOf gives what can be asked of a kit: every road input, and the hazard lights when there are turns on both sides.
func asksOf(k *kit.Kit) []ask {
	var all []ask
	var turns []*kit.Input
	for _, in := range k.Inputs {
		if in.Road == "" {
			continue
		}
		all = append(all, ask{in.Name, []*kit.Input{in}})
		if isTurn(in) {
			turns = append(turns, in)
		}
	}
	if len(turns) == 2 {
		all = append(all, ask{"hazard", turns})
	}
	return all
}

func isTurn(in *kit.Input) bool { return strings.HasPrefix(in.Road, "turn-") }

// press gives the presses of an ask.
func (a ask) press(from units.Time) []script.Press {
	var all []script.Press
	for _, in := range a.inputs {
		p := script.Press{Input: in.Name, From: from, To: from + askFor}
		if isTurn(in) {
			p.Flash = script.Flash{Rate: askRate, Share: askShare}
		}
		all = append(all, p)
	}
	return all
}

// askScripts gives the scripts under which every fault is tried: each ask alone first, then each twice, then every two in both orders. The
// hazard lights are not paired with a turn, which they hold already.
func askScripts(asks []ask) []script.Script {
	var all []script.Script
	for _, a := range asks {
		all = append(all, script.Script{Presses: a.press(askAt)})
	}
	for _, a := range asks {
		all = append(all, script.Script{Presses: append(a.press(askAt), a.press(againAt)...)})
	}
	for _, a := range asks {
		for _, b := range asks {
			shared := slices.ContainsFunc(a.inputs, func(in *kit.Input) bool { return slices.Contains(b.inputs, in) })
			if shared || a.turning() && b.turning() {
				continue
			}
			all = append(all, script.Script{Presses: append(a.press(askAt), b.press(joinAt)...)})
		}
	}
	return all
}

func (a ask) turning() bool { return isTurn(a.inputs[0]) }
