package compile

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
)

// part is one of a layer's routines as it plays on one lamp.
type part struct {
	name    string // arrive, stay or leave
	of      *kit.Routine
	timing  timing
	tracks  []*track // by group
	holding bool     // a stay that does not move: it sets its levels and rests
}

// parts are the routines of a layer, those that there are.
type parts struct{ arrive, stay, leave *part }

func (p parts) all() (list []*part) {
	for _, one := range []*part{p.arrive, p.stay, p.leave} {
		if one != nil {
			list = append(list, one)
		}
	}
	return list
}

// parts samples and fits the routines of a layer on the groups of a lamp that it takes.
func (c *compiler) parts(lamp *kit.Lamp, l *kit.Layer, groups []int) (p parts, ok bool) {
	if l.Arrive == nil && l.Stay == nil {
		c.list.Add(report.Errorf("no-routine", l.At, "%q has neither an arrive nor a stay routine", l.Name).
			Because("nothing says what its groups shall show").Do("name a routine under stay:, or under arrive: one whose last light stays"))
		return p, false
	}
	ok = true
	one := func(name string, r *kit.Routine, paced bool) *part {
		if r == nil {
			return nil
		}
		made, fine := c.part(lamp, l, groups, name, r, paced)
		ok = ok && fine
		return made
	}
	p.arrive = one("arrive", l.Arrive, l.Flasher)
	p.stay = one("stay", l.Stay, false)
	p.leave = one("leave", l.Leave, false)
	if ok && p.stay == nil {
		p.stay = holdAfter(p.arrive)
	}
	return p, ok
}

// part samples and fits one routine. A stay goes round and round if it moves.
func (c *compiler) part(lamp *kit.Lamp, l *kit.Layer, groups []int, name string, r *kit.Routine, paced bool) (*part, bool) {
	bound := r.On(lamp)
	if bound == nil {
		c.list.Add(report.Errorf("takes", l.At, "%q takes groups of lamp %q, but its routine %q does not play there", l.Name, lamp.Name, r.Name).
			See(r.At, "the routine").Do("take groups of lamps that the routine plays on"))
		return nil, false
	}
	p := &part{name: name, of: r, timing: timing{ticks: lengthTicks(bound.Light.Length()), loops: name == "stay", full: !l.Show}}
	if p.timing.ticks > program.MaxTicks {
		c.list.Add(report.Errorf("limit", r.At, "routine %q is too long for a module", r.Name).
			Against(fmt.Sprintf("%d ticks of 4 ms", p.timing.ticks), fmt.Sprintf("%d ticks (262 s)", program.MaxTicks), "docs/image-format.md, section 4").
			Do("shorten it"))
		return nil, false
	}
	if paced {
		p.timing.ticks, p.timing.paced = pacedTicks, true
	}
	tracks, err := c.sampler.tracks(bound, lamp, groups, p.timing)
	if err != nil {
		c.list.Add(report.Errorf("routine", r.At, "routine %q cannot be sampled: %v", r.Name, err).Do("correct the routine"))
		return nil, false
	}
	p.tracks = tracks
	if name == "stay" && !slices.ContainsFunc(tracks, func(t *track) bool { return t.moves }) {
		p.holding = true
	}
	return p, true
}

// holdAfter is the stay that goes on with the light that arrive left.
func holdAfter(arrive *part) *part {
	p := &part{name: "stay", holding: true}
	for _, t := range arrive.tracks {
		p.tracks = append(p.tracks, &track{samples: []int32{int32(t.last()) * unit}})
	}
	return p
}

// still gives the levels of a layer in which nothing ever moves: no leave, and a stay that holds what arrive, if there is
// one, shows from its first tick.
func (p parts) still() ([]uint8, bool) {
	if p.leave != nil || !p.stay.holding {
		return nil, false
	}
	levels := make([]uint8, len(p.stay.tracks))
	for i, t := range p.stay.tracks {
		levels[i] = t.still()
		if p.arrive != nil && (p.arrive.tracks[i].moves || p.arrive.tracks[i].still() != levels[i]) {
			return nil, false
		}
	}
	return levels, true
}

// moved is how far a rest was moved at most, levels.
func (p parts) moved() float64 {
	most := int32(0)
	for _, one := range p.all() {
		for _, t := range one.tracks {
			most = max(most, t.moved)
		}
	}
	return float64(most) / unit
}

// ticks is how many ticks the code of a part takes. A hold is over at once; its levels stay.
func (p *part) ticks() int {
	if p.holding {
		return 1
	}
	return p.timing.ticks
}

func (p *part) loops() bool { return p.timing.loops && !p.holding }

// events lists the fades of a part, for slots in the order of its groups.
func (p *part) events() (events []event) {
	for slot, t := range p.tracks {
		if p.holding {
			if level := t.still(); level > 0 {
				events = append(events, event{slot: uint8(slot), level: level})
			}
			continue
		}
		for _, f := range t.fades {
			events = append(events, event{tick: f.Tick, slot: uint8(slot), level: f.Level, ticks: uint8(f.Ticks)})
		}
	}
	return events
}

// worst plays code and gives the most that a shown level misses what is wanted at its tick, levels. order holds the group behind each
// slot, as an index into tracks.
func (p *part) worst(code *program.Routine, order []int) float64 {
	worst := int32(0)
	for tick, levels := range program.PlayRoutine(code, len(order)) {
		for slot, i := range order {
			samples := p.tracks[i].samples
			worst = max(worst, near(int32(levels[slot])*unit, samples[min(tick, len(samples)-1)]))
		}
	}
	return float64(worst) / unit
}

// coded is the outcome of encoding, remembered because both hands of a lamp mostly share it.
type coded struct {
	routine *program.Routine
	err     error
}

// code encodes a part whose slots stand in the given order.
func (c *compiler) code(p *part, order []int) *coded {
	slotOf := make([]uint8, len(order))
	for slot, i := range order {
		slotOf[i] = uint8(slot)
	}
	events := p.events()
	var key strings.Builder
	fmt.Fprintln(&key, p.ticks(), p.loops())
	for i := range events {
		e := &events[i]
		e.slot = slotOf[e.slot]
		key.Write([]byte{byte(e.tick), byte(e.tick >> 8), e.slot, e.level, e.ticks})
	}
	known := c.codes[key.String()]
	if known == nil {
		c.wanted.ask()
		r, err := encode(events, p.ticks(), p.loops())
		known = &coded{r, err}
		c.codes[key.String()] = known
	}
	return known
}

// encodeParts gives the layer its routines. The slots stand in the order of the groups, or in another if that makes the code
// shorter; none looks at the wiring. It gives the group of each slot.
func (c *compiler) encodeParts(m *kit.Module, l *kit.Layer, p parts, out *program.Layer, facts *Layer) ([]int, bool) {
	order, codes := c.shortest(p, len(facts.Groups))
	if codes == nil {
		c.list.Add(report.Errorf("busy-tick", l.At, "%q starts too many different fades on module %q at one moment", l.Name, m.Name).
			Against("more than 255 operations in a tick", "255", "docs/image-format.md, section 4").
			Do("spread its strokes over more time, or let fewer of them begin and end together"))
		return nil, false
	}
	for i, one := range p.all() {
		code := codes[i]
		switch one.name {
		case "arrive":
			out.Arrive = code
		case "stay":
			out.Stay = code
		case "leave":
			out.Leave = code
		}
		c.wanted.ask()
		events := one.events()
		fades := len(events)
		facts.Routines = append(facts.Routines, &Routine{
			Part: one.name, Of: one.of, Code: code, Fades: fades, begins: begins(events), WorstError: one.worst(code, order),
			FrameBytes: frameBytes(one.ticks(), len(order)), TrackBytes: trackBytes(fades, len(order)),
		})
	}
	groups := make([]int, len(order))
	for slot, i := range order {
		groups[slot] = facts.Groups[i]
	}
	return groups, true
}

// shortest encodes the parts in each order of slots that is tried and keeps the shortest; no codes when none can be played.
func (c *compiler) shortest(p parts, slots int) (order []int, codes []*program.Routine) {
	size := 0
	for _, try := range p.orders(slots) {
		var made []*program.Routine
		bytes := 0
		for _, one := range p.all() {
			code := c.code(one, try)
			if code.err != nil {
				made = nil
				break
			}
			made = append(made, code.routine)
			bytes += len(code.routine.Code)
		}
		if made != nil && (codes == nil || bytes < size) {
			order, codes, size = try, made, bytes
		}
	}
	return order, codes
}
