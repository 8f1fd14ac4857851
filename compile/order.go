package compile

import (
	"cmp"
	"slices"
)

// orders gives the orders of slots that are tried, as indices into the layer's groups.
func (p parts) orders(slots int) [][]int {
	plain := make([]int, slots)
	for i := range plain {
		plain[i] = i
	}
	var events []event
	start := 0
	for _, one := range p.all() {
		for _, e := range one.events() {
			e.tick += start
			events = append(events, e)
		}
		start += one.ticks() + 1
	}
	sortEvents(events)
	out := [][]int{plain}
	for _, order := range [][]int{byTime(events, slots), byLikeness(events, slots)} {
		if !slices.ContainsFunc(out, func(known []int) bool { return slices.Equal(known, order) }) {
			out = append(out, order)
		}
	}
	return out
}

// byTime orders slots by the first event of each, then by slot; slots without events come last. A movement of light in any
// direction then runs through neighbouring slots.
func byTime(events []event, slots int) []int {
	first := make([]int, slots)
	for s := range first {
		first[s] = unreached
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

// byLikeness orders slots by sorted events: it begins with the slot that moves first, and after each comes the one of the rest
// that shares the most events with it. Light that is the same in places far apart then runs through neighbouring slots.
func byLikeness(events []event, slots int) []int {
	rest := byTime(events, slots)
	of := make([][]event, slots)
	for _, e := range events {
		of[e.slot] = append(of[e.slot], e)
	}
	order := make([]int, 0, slots)
	for next := 0; len(rest) > 0; {
		order = append(order, rest[next])
		rest = slices.Delete(rest, next, next+1)
		last, most := of[order[len(order)-1]], -1
		for i, s := range rest {
			if n := shared(last, of[s]); n > most {
				next, most = i, n
			}
		}
	}
	return order
}

// shared counts the events of two slots that are alike.
func shared(a, b []event) (n int) {
	for len(a) > 0 && len(b) > 0 {
		switch c := cmp.Or(cmp.Compare(a[0].tick, b[0].tick), cmp.Compare(a[0].ticks, b[0].ticks), cmp.Compare(a[0].level, b[0].level)); {
		case c < 0:
			a = a[1:]
		case c > 0:
			b = b[1:]
		default:
			n++
			a, b = a[1:], b[1:]
		}
	}
	return n
}
