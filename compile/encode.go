package compile

import (
	"slices"

	"lampwright/program"
)

// encode gives the routine that plays events (of any order) and ends, or begins again, at the given tick. It orders the fades of
// a tick by their lengths, in one way that makes ticks alike and in one that sets F with the fewest bytes, and keeps the shorter
// code. Loops cost operations too, so when a tick holds more than a
// player executes it tries again without them. It fails when even then a tick holds too many.
func encode(events []event, ticks int, loops bool) (*program.Routine, error) {
	sortEvents(events)
	alike := moments(events)
	orders := [][]token{tokens(alike, ticks), tokens(chained(alike), ticks)}
	if slices.Equal(orders[0], orders[1]) {
		orders = orders[:1]
	}
	var best *program.Routine
	var failed error
	for _, deep := range []int{loopsDeep, 0} {
		for _, order := range orders {
			var code program.Coder
			pack(&code, order, deep)
			last := code.End
			if loops {
				last = code.Again
			}
			r, err := last()
			if err != nil {
				failed = err
			} else if best == nil || len(r.Code) < len(best.Code) {
				best = r
			}
		}
		if best != nil {
			return best, nil
		}
	}
	return nil, failed
}
