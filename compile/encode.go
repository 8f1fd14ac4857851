package compile

import (
	"cmp"
	"slices"

	"lampwright/program"
)

// encode gives the routine that plays events (of any order) and ends, or begins again, at the given tick. It tries both ways
// of ordering the fades of a tick and keeps the shorter code. It gives the most operations that any tick executes; above
// program.MaxOpsPerTick the code is without loops, and no module would play it whole.
func encode(events []event, ticks int, loops bool) (*program.Routine, int) {
	sortEvents(events)
	last := byte(opEnd)
	if loops {
		last = opAgain
	}
	var best []byte
	bestOps := 0
	orders := [][]token{tokens(events, ticks, false), tokens(events, ticks, true)}
	if slices.Equal(orders[0], orders[1]) {
		orders = orders[:1]
	}
	for _, deep := range []int{loopsDeep, 0} {
		for _, order := range orders {
			code := append(pack(order, deep), last)
			ops := busiestTick(code)
			if best == nil || fits(ops) && !fits(bestOps) || fits(ops) == fits(bestOps) && len(code) < len(best) {
				best, bestOps = code, ops
			}
		}
		if fits(bestOps) {
			break // loops cost operations too; without them a busy tick may do
		}
	}
	return &program.Routine{Ticks: ticks, Loops: loops, Code: slices.Clip(best)}, bestOps
}

func fits(ops int) bool { return ops <= program.MaxOpsPerTick }

// busiestTick gives the most operations that a tick executes; a span counts as many as it has slots, and a routine that
// begins again does so within the tick. Code is what pack writes, and its last operation.
func busiestTick(code []byte) int {
	type pass struct{ body, left int }
	var open []pass
	most, ops, first, started := 0, 0, 0, false
	tick := func() {
		if !started {
			first, started = ops, true
		}
		most, ops = max(most, ops), 0
	}
	for pc := 0; pc < len(code); {
		ops++
		switch op := code[pc]; {
		case op < opWait:
			pc += 2
		case op == opWait:
			pc += 2
			tick()
		case op < opOver:
			pc++
			tick()
		case op < opOverLong:
			pc++
		case op == opOverLong:
			pc += 2
		case op == opSpan:
			ops += int(code[pc+2]) - 1
			pc += 4
		case op == opLoop:
			open = append(open, pass{body: pc + 3, left: int(code[pc+1]) - 1})
			pc += 3
		case op == opClose:
			l := &open[len(open)-1]
			if l.left > 0 {
				l.left--
				pc = l.body
			} else {
				open = open[:len(open)-1]
				pc++
			}
		case op == opAgain:
			ops += first
			tick()
			return most
		default:
			tick()
			return most
		}
	}
	return most
}

// trackBytes is the size of the same fades as one track for each output: 2 bytes a fade with level and length, 1 byte for the
// wait before it, 1 byte to end each track.
func trackBytes(events []event, slots int) int { return 3*len(events) + slots }

// byTime orders slots by the first event of each, then by slot; slots without events come last. A movement of light in any
// direction then runs through neighbouring slots.
func byTime(events []event, slots int) []int {
	first := make([]int, slots)
	for s := range first {
		first[s] = program.MaxTicks + 1
	}
	for _, e := range events {
		first[e.slot] = min(first[e.slot], e.tick)
	}
	order := make([]int, slots)
	for s := range order {
		order[s] = s
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(first[a], first[b]) })
	return order
}
