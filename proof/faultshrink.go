package proof

import (
	"slices"

	"lampwright/script"
	"lampwright/units"
)

// shortTimes are the lengths of a press that are tried, the shortest first.
var shortTimes = []units.Time{
	50 * units.Millisecond, 100 * units.Millisecond, 200 * units.Millisecond, 300 * units.Millisecond, 500 * units.Millisecond, units.Second,
	1500 * units.Millisecond,
}

// soonest is when a shrunk script may begin: after every module has checked its image.
const soonest = 500 * units.Millisecond

// shrink gives the shortest script that it finds under which shows still is true, which it is of the script given: presses are left out,
// all begun sooner, flashes made steady, each begun with the first, then shortened, again and again until nothing helps. The same script gives the same result.
func shrink(s script.Script, shows func(script.Script) bool) script.Script {
	try := func(presses []script.Press) bool {
		if len(presses) == 0 || slices.Equal(presses, s.Presses) {
			return false
		}
		shorter := script.Script{Presses: presses}
		if !shows(shorter) {
			return false
		}
		s = shorter
		return true
	}
	with := func(i int, p script.Press) []script.Press {
		presses := slices.Clone(s.Presses)
		presses[i] = p
		return presses
	}
	for again := true; again; {
		again = false
		for i := 0; i < len(s.Presses); {
			if try(slices.Delete(slices.Clone(s.Presses), i, i+1)) {
				again = true
				continue
			}
			i++
		}
		for _, at := range []units.Time{soonest, askAt} {
			sooner, shift := slices.Clone(s.Presses), at-begins(s)
			for i := range sooner {
				sooner[i].From += shift
				sooner[i].To += shift
			}
			if shift < 0 && try(sooner) {
				again = true
			}
		}
		for i, p := range s.Presses {
			steady := p
			steady.Flash = script.Flash{}
			again = try(with(i, steady)) || again
			p = s.Presses[i]
			first := p
			first.From, first.To = begins(s), begins(s)+p.To-p.From
			again = try(with(i, first)) || again
		}
		for i, p := range s.Presses {
			for _, long := range shortTimes {
				short := p
				short.To = p.From + long
				if short.To < p.To && (p.Flash.Rate == 0 || long >= oneFlash) && try(with(i, short)) {
					again = true
					break
				}
			}
		}
	}
	return s
}

// oneFlash is one on-time of the flasher that asks are pressed with, the least that a flashing press may last.
const oneFlash = units.Minute * 1000 / askRate * askShare / 1000
