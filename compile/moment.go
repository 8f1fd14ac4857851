package compile

import "slices"

// moment is what begins in one tick.
type moment struct {
	events []event
	overs  []uint8 // the lengths of the fades, each once, in the order in which they are written
	tied   bool    // some slot has several events, which keep their order: shorter ones first
}

// moments parts sorted events by their ticks; shorter fades come first, which makes ticks alike.
func moments(events []event) (out []moment) {
	var seen [256]int // 1 + the last tick with an event of the slot
	for len(events) > 0 {
		n := 1
		for n < len(events) && events[n].tick == events[0].tick {
			n++
		}
		m := moment{events: events[:n]}
		for _, e := range m.events {
			if len(m.overs) == 0 || e.ticks != m.overs[len(m.overs)-1] {
				m.overs = append(m.overs, e.ticks)
			}
			m.tied = m.tied || seen[e.slot] == e.tick+1
			seen[e.slot] = e.tick + 1
		}
		out = append(out, m)
		events = events[n:]
	}
	return out
}

// chained orders the lengths within each moment so that F is set with the fewest bytes: a moment may begin with the length
// with which the one before ended, and events of one slot keep their order. By dynamic programming over the last length of
// each moment.
func chained(from []moment) []moment {
	type end struct {
		last, before uint8 // lengths with which this moment and the one before end
		bytes        int32
	}
	ends := make([][]end, len(from)+1)
	ends[0] = []end{{}} // F is 0 at the start
	for k, m := range from {
		all := int32(0)
		for _, length := range m.overs {
			all += overTo(length).bytes()
		}
		for _, last := range m.overs {
			if !m.mayEnd(last) {
				continue
			}
			best := end{bytes: noBytesYet}
			for _, e := range ends[k] {
				bytes := e.bytes + all
				if m.begins(e.last, last) {
					bytes -= overTo(e.last).bytes()
				}
				if bytes < best.bytes {
					best = end{last, e.last, bytes}
				}
			}
			ends[k+1] = append(ends[k+1], best)
		}
	}
	out := make([]moment, len(from))
	var at end
	for i, e := range ends[len(from)] {
		if i == 0 || e.bytes < at.bytes {
			at = e
		}
	}
	for k := len(from) - 1; k >= 0; k-- {
		m := from[k]
		overs := slices.DeleteFunc(slices.Clone(m.overs), func(length uint8) bool {
			return length == at.last || m.begins(at.before, at.last) && length == at.before
		})
		if m.begins(at.before, at.last) && at.before != at.last {
			overs = slices.Insert(overs, 0, at.before)
		}
		out[k].events, out[k].overs = m.events, append(overs, at.last)
		i := slices.IndexFunc(ends[k], func(e end) bool { return e.last == at.before })
		at = ends[k][i]
	}
	return out
}

// begins tells whether a moment that ends with one length may begin with another.
func (m moment) begins(first, last uint8) bool {
	return slices.Contains(m.overs, first) && (first != last || len(m.overs) == 1) && !m.ties(func(e, other event) bool {
		return e.ticks == first && other.ticks < first
	})
}

// mayEnd tells whether a moment may end with a length.
func (m moment) mayEnd(last uint8) bool {
	return !m.ties(func(e, other event) bool { return e.ticks == last && other.ticks > last })
}

// ties tells whether some slot has two events that stand so to each other.
func (m moment) ties(so func(e, other event) bool) bool {
	if !m.tied {
		return false
	}
	for _, e := range m.events {
		for _, other := range m.events {
			if e.slot == other.slot && so(e, other) {
				return true
			}
		}
	}
	return false
}
