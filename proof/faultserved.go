package proof

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/car"
	"lampwright/kit"
	"lampwright/lamp"
	"lampwright/script"
	"lampwright/units"
)

// served is a road function of one lamp: what asks for it, and the groups that show it.
type served struct {
	function string     // stop, tail, turn ...
	asks     *kit.Input // that a driver presses
	wires    []*kit.Input
	lamp     *kit.Lamp
	module   int
	columns  []int
	need     int // most light when it is asked alone, duties summed up
}

func (v *served) String() string { return v.function + " at " + v.lamp.Name }

// servedBy gives the road functions of a kit, in the order of its signals and of their lamps.
func (s *stage) servedBy() []*served {
	var all []*served
	add := func(in, by *kit.Input, function string, take kit.Take) {
		m, ok := s.kit.ModuleOf(take.Lamp)
		if !ok {
			return
		}
		module := slices.Index(s.kit.Modules, m)
		var v *served
		for _, other := range all {
			if other.asks == in && other.lamp == take.Lamp {
				v = other
			}
		}
		if v == nil {
			v = &served{function: function, asks: in, lamp: take.Lamp, module: module}
			all = append(all, v)
		}
		for _, wire := range []*kit.Input{by, by.Shares, by.Reference} {
			if wire != nil && !slices.Contains(v.wires, wire) {
				v.wires = append(v.wires, wire)
			}
		}
		for c, col := range s.columns {
			if col.module == module && slices.Contains(take.Groups, col.group) && !slices.Contains(v.columns, c) {
				v.columns = append(v.columns, c)
			}
		}
	}
	for _, l := range s.kit.Layers {
		if l.Show || l.Input.Road == "" {
			continue
		}
		for _, take := range l.Takes {
			function, _, _ := strings.Cut(l.Input.Road, "-")
			add(l.Input, l.Input, function, take)
			if l.Input.CarriesStop && l.Input.Reference == nil { // its groups light for the brake as well
				for _, stop := range s.kit.Inputs {
					if stop.Road == "stop" {
						add(stop, l.Input, "stop", take)
					}
				}
			}
		}
	}
	return slices.DeleteFunc(all, func(v *served) bool { return len(v.columns) == 0 })
}

// light gives the light of a function in a frame.
func (s *stage) light(r *run, v *served, frame int) (sum int) {
	for _, c := range v.columns {
		sum += int(r.at(s, frame, c))
	}
	return sum
}

// asked gives the times at which a script asks for a function, and those between, before and after at which it does not.
func (v *served) asked(r *run) (on, off []script.Span) {
	on = r.line.Spans(v.asks.Name)
	at := begins(r.script) - calm
	end := units.Time(r.frames) * traceStep
	for _, s := range on {
		if s.From > at {
			off = append(off, script.Span{Input: v.asks.Name, From: at, To: s.From})
		}
		at = s.To + settle
	}
	if end > at {
		off = append(off, script.Span{Input: v.asks.Name, From: at, To: end})
	}
	return on, off
}

// begins gives the time of the first press.
func begins(s script.Script) units.Time {
	first := askAt
	for _, p := range s.Presses {
		first = min(first, p.From)
	}
	return first
}

// Times by which light is judged.
const (
	calm    = 50 * units.Millisecond  // before the first press everything has come to rest
	settle  = 100 * units.Millisecond // after a release, until light may be expected to be gone
	lateMay = 50 * units.Millisecond  // a lamp may come so much later than without the fault: a module that is fed by the wire itself starts within 15 ms
)

// frames gives the frames of a span, cut to the run.
func frames(r *run, s script.Span) (from, to int) {
	from = int((s.From + traceStep - 1) / traceStep)
	return min(from, r.frames), min(int(s.To/traceStep), r.frames)
}

// fed tells whether a function's module has its supply whenever the function is asked, but for the time in which it may come late.
func (v *served) fed(r *run) bool {
	on := r.line.Spans(v.asks.Name)
	changes := r.course.Modules[v.module]
	for i, c := range changes {
		end := r.course.Until
		if i+1 < len(changes) {
			end = changes[i+1].At
		}
		for _, s := range on {
			if !c.Powered && min(end, s.To) > max(c.At, s.From+lateMay/2) {
				return false
			}
		}
	}
	return true
}

// side tells on which side of the vehicle a lamp is.
func side(l *kit.Lamp) lamp.Side { return l.Place.Side }

// touches tells whether a fault breaks what a function of a lamp itself is made of: its module, its output, its wire.
func (f Fault) touches(s *stage, v *served) bool {
	if !slices.Contains(f.modules, s.kit.Modules[v.module]) {
		return false
	}
	switch f.Condition.What {
	case script.Module, script.Battery, script.Feed, script.Strap:
		return true
	case script.Output:
		return slices.ContainsFunc(v.columns, func(c int) bool { return s.outputName(c) == f.Condition.Where })
	case script.Tap:
		return slices.ContainsFunc(v.wires, func(in *kit.Input) bool { return slices.Contains(f.inputs, in) })
	}
	return false
}

// reaches tells whether a fault can change the light of a function: it touches it, or it touches what lights the same groups.
func (f Fault) reaches(s *stage, v *served) bool {
	if f.touches(s, v) {
		return true
	}
	m := s.kit.Modules[v.module]
	if !slices.Contains(f.modules, m) || f.Condition.What != script.Tap {
		return false
	}
	for _, in := range f.inputs {
		if in == m.Fed.Only || in.CarriesStop && slices.Contains(v.wires, in.Reference) {
			return true
		}
	}
	for _, l := range s.kit.Layers {
		if !slices.Contains(f.inputs, l.Input) {
			continue
		}
		for _, c := range v.columns {
			if slices.Contains(l.Of(v.lamp), s.columns[c].group) {
				return true
			}
		}
	}
	return false
}

func (s *stage) outputName(c int) string {
	col := s.columns[c]
	return car.OutputName(s.kit.Modules[col.module], col.output)
}

// words names functions of lamps: "stop at tail-lh, tail-rh".
func words(function string, lamps []string) string {
	return fmt.Sprintf("%s at %s", function, strings.Join(lamps, ", "))
}
