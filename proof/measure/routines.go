package measure

import (
	"fmt"
	"math"

	"lampwright/compile"
	"lampwright/light"
	"lampwright/program"
	"lampwright/units"
)

// Held says which duties the levels have at which compiled routines rest.
type Held struct {
	Rests  int            // rests and still levels that were looked at
	Low    map[uint16]int // of them, with a duty below two whole steps, by duty
	Broken []string       // rests that would flicker: their duty is none of 0, 8 and 16 or more
}

// heldDuty is the least duty from which every level may be held; below it only 0 and one whole step, 8.
const heldDuty, stepDuty = 16, 8

// HeldLevels looks at every level that the compiled modules hold: still layers, rests within routines, what a routine leaves, and
// the safe program's tail.
func HeldLevels(r *compile.Result) (Held, error) {
	h := Held{Low: map[uint16]int{}}
	look := func(level uint8, where string) {
		h.Rests++
		duty := program.Duty(level)
		if duty >= heldDuty {
			return
		}
		h.Low[duty]++
		if duty != 0 && duty != stepDuty {
			h.Broken = append(h.Broken, fmt.Sprintf("%s: level %d, duty %d", where, level, duty))
		}
	}
	for _, m := range r.Modules {
		look(m.Safe.TailLevel, "module "+m.Of.Name+", tail of the safe program")
		for _, l := range m.Program.Layers {
			where := "module " + m.Of.Name + ", " + l.Name
			for _, level := range l.Still {
				look(level, where)
			}
			for _, one := range []*program.Routine{l.Arrive, l.Stay, l.Leave} {
				if one == nil {
					continue
				}
				list, err := rests(one, len(l.Slots))
				if err != nil {
					return h, fmt.Errorf("%s: %w", where, err)
				}
				for _, rest := range list {
					look(rest.level, fmt.Sprintf("%s, slot %d from tick %d", where, rest.slot, rest.from))
				}
			}
		}
	}
	return h, nil
}

// Figures gives what is held as figures.
func (h Held) Figures(what string) []Figure {
	return []Figure{{"held levels that would flicker, " + what, float64(len(h.Broken)), fmt.Sprintf("of %d (%d at one step)", h.Rests, h.Low[stepDuty]), none}}
}

// LevelError is how far the levels of compiled routines, replayed, are from the light that was asked for; levels of 255.
type LevelError struct {
	Routines, Levels int
	Stated           float64 // the greatest error that the compiler states
	Lit              float64 // greatest in any tick; wanted levels from 18 on
	Dark             float64 // the same below, where rests are moved to levels that do not flicker
	Mean             float64 // over all levels
}

// movedBelow is the level from which no rest is moved: the first of duty 16.
const movedBelow = 18

// LevelErrors replays every compiled routine with program.PlayRoutine and compares each level in each tick with the light of the
// routine at that instant, sampled anew.
func LevelErrors(r *compile.Result) (LevelError, error) {
	var out LevelError
	sum := 0.0
	for _, m := range r.Modules {
		for i, l := range m.Layers {
			for _, one := range l.Routines {
				out.Stated = max(out.Stated, one.WorstError)
				if one.Of == nil {
					continue // it holds what arrive left
				}
				wanted, err := sampled(m, l, one)
				if err != nil {
					return out, err
				}
				out.Routines++
				for tick, levels := range program.PlayRoutine(one.Code, len(m.Program.Layers[i].Slots)) {
					for slot, level := range levels {
						want := wanted[slot]
						tick := min(tick, len(want)-1)
						miss := math.Abs(want[tick] - float64(level))
						if want[tick] >= movedBelow {
							out.Lit = max(out.Lit, miss)
						} else {
							out.Dark = max(out.Dark, miss)
						}
						sum += miss
						out.Levels++
					}
				}
			}
		}
	}
	out.Mean = sum / float64(max(out.Levels, 1))
	return out, nil
}

// sampled gives the wanted level of every slot in every tick of a routine.
func sampled(m *compile.Module, l *compile.Layer, one *compile.Routine) ([][]float64, error) {
	bound := one.Of.On(m.Of.Lamp)
	if bound == nil {
		return nil, fmt.Errorf("routine %s does not play on lamp %s", one.Of.Name, m.Of.Lamp.Name)
	}
	groups := make([][]int, len(l.Groups))
	for slot, g := range l.Groups {
		groups[slot] = bound.GroupLEDs(m.Of.Lamp, []int{g})
	}
	s, err := light.NewSampler(bound.Stage, bound.Light, groups)
	if err != nil {
		return nil, err
	}
	ticks := one.Code.Ticks // that are shown
	if !one.Code.Loops {
		ticks++
	}
	paced := l.Of.Flasher && one.Part == "arrive"
	wanted := make([][]float64, len(groups))
	for tick := range ticks {
		t := float64(tick) * program.FrameMS
		if paced { // tick 0 shows the first light already
			t = s.LengthMS() * float64(tick+1) / float64(ticks)
		}
		for slot, share := range s.At(min(t, s.LengthMS())) {
			wanted[slot] = append(wanted[slot], units.Lightness(share)*program.FullLevel/100)
		}
	}
	return wanted, nil
}

// Figures gives the error as figures.
func (e LevelError) Figures(what string) []Figure {
	return []Figure{
		{"level error stated by the compiler, greatest, " + what, e.Stated, "levels of 255", atMost(compile.DefaultError)},
		{"level error by replay, greatest, " + what, e.Lit, fmt.Sprintf("levels of 255, %d levels", e.Levels), atMost(compile.DefaultError + 1.0/256)},
		{"the same below level 18, where rests are moved, " + what, e.Dark, "levels of 255", Goal{}},
		{"level error by replay, mean, " + what, e.Mean, "levels of 255", Goal{}},
	}
}
