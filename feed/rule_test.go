package feed

// The filter rule, as Filter's comment has it, stepped sample by sample.
type input struct {
	on          bool
	count, lows int
}

func (s *input) step(high bool, x Filter) {
	if high {
		s.lows = 0
	}
	switch {
	case !s.on && high:
		if s.count++; s.count >= int(x.On) {
			s.on, s.count = true, 0
		}
	case !s.on:
		if s.lows++; s.lows > int(x.Gap) {
			s.count = 0
		}
	case high:
		s.count = 0
	default:
		if s.count++; s.count >= int(x.Off) {
			s.on, s.count, s.lows = false, 0, 0
		}
	}
}

// change is what the filtered input did.
type change struct {
	at int64 // ns
	on bool
}

// run samples a wire from first to until (ns), every refresh ns, and gives the changes of the filtered input.
func run(x Filter, wire func(ns int64) bool, first, refresh, until int64) []change {
	var s input
	var out []change
	for at := first; at < until; at += refresh {
		before := s.on
		if s.step(wire(at), x); s.on != before {
			out = append(out, change{at, s.on})
		}
	}
	return out
}

// clocks are the lengths of a refresh that are tried: both ends of the doubt, the middle, and two that beat slowly with 5 and 10 ms.
var clocks = []int64{shortRefresh, 499_950, refreshNS, 500_050, longRefresh}

// pulse tells whether a wire that is high for width of each period is high at a time; phase is the time of the first rise.
func pulse(at, phase, period, width int64) bool {
	if period == 0 {
		return at >= phase && at < phase+width
	}
	return ((at-phase)%period+period)%period < width
}
