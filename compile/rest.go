package compile

import "lampwright/units"

// A rest below two whole steps of duty would flicker: the part below one step is spread over eight refreshes, 250 times a
// second at full spread. So a level that stays has duty 0, 8, 16 or more (docs/engine.md, section 2). A level that moves may
// pass through any.

// coarseDuty is the least duty from which every level may rest.
const coarseDuty units.Duty = 16

// restLevels are the dark levels that may rest, in order, up to the first of those from which all may: 0, 9 and 18.
var restLevels = func() (levels []int32) {
	for level := int32(0); ; level++ {
		switch duty := units.Level(level).Duty(); {
		case duty == coarseDuty:
			return append(levels, level)
		case duty%8 == 0:
			if level == 0 || duty != units.Level(level-1).Duty() {
				levels = append(levels, level)
			}
		}
	}
}()

// mayRest tells whether a level may stay.
func mayRest(level int32) bool {
	return level == 0 || level >= restLevels[2] || level == restLevels[1]
}

// nearestRest gives the level that may rest nearest to a level (1/256 level); of two equally near ones the brighter.
func nearestRest(level int32) int32 {
	top := restLevels[len(restLevels)-1]
	if level >= top*unit {
		return level
	}
	best := int32(0)
	for _, rest := range restLevels {
		if near(level, rest*unit) <= near(level, best) {
			best = rest * unit
		}
	}
	return best
}

func near(a, b int32) int32 {
	if a > b {
		return a - b
	}
	return b - a
}

// snapRests turns light (shares of linear light 0..1, one a tick) into samples of 1/256 level. Every stretch in which the
// light rests (two equal ticks or more; and the last tick, if the routine stays there) moves to the nearest level that may
// rest. It gives the samples and the greatest such move, 1/256 level.
func snapRests(light []float64, stays bool) (samples []int32, moved int32) {
	samples = make([]int32, 0, len(light))
	for from := 0; from < len(light); {
		to := from + 1
		for to < len(light) && light[to] == light[from] {
			to++
		}
		level := levelOf(light[from])
		if to-from > 1 || stays && to == len(light) {
			rest := nearestRest(level)
			moved = max(moved, near(level, rest))
			level = rest
		}
		for ; from < to; from++ {
			samples = append(samples, level)
		}
	}
	return samples, moved
}
