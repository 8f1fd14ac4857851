package kit

import (
	"slices"
	"strings"

	"lampwright/job"
	"lampwright/report"
	"lampwright/source"
)

// layers resolves signals and shows, in order of priority.
func (b *builder) layers() {
	if b.list.HasErrors() {
		return // lamps, inputs or routines are wrong already: what follows would repeat it
	}
	seen := map[string]report.Place{}
	for _, e := range b.doc.Signals.Entries() {
		v := e.Value
		l := &Layer{Name: e.Name.Text, At: e.Name.Where, Flasher: v.Pace.Value == job.Flasher,
			WindowMS: milliseconds(v.RepeatWindow), KeepsMS: milliseconds(v.Keeps)}
		b.named(l, seen)
		if l.Input = b.input(v.Input); l.Input != nil && l.Input.Road == "" {
			b.add(report.Errorf("show-as-signal", v.Input.Where, "signal %q hangs on %q, which is a switch for shows", l.Name, l.Input.Name).
				Because("a signal outranks every show and may outrank other signals, so only the car's road wires may call one; a show can never outrank a road signal").
				Expect("%s", listed(Roads)).Do("move it under shows:, or give it a road input"))
		}
		b.plays(l, v.Arrive, v.Stay, v.Leave)
		b.takes(l, v.Takes)
		b.flasher(l, v)
		b.neverBarred(l, v)
		b.fits(l)
		b.kit.Layers = append(b.kit.Layers, l)
	}
	for _, e := range b.doc.Shows.Entries() {
		v := e.Value
		l := &Layer{Name: e.Name.Text, At: e.Name.Where, Show: true, LimitMS: v.Limit.Value.Milliseconds(),
			WindowMS: milliseconds(v.RepeatWindow), Ends: v.Interrupted.Value == job.Ends}
		b.named(l, seen)
		if l.Input = b.input(v.Input); l.Input != nil && l.Input.Road != "" {
			b.add(report.Errorf("signal-as-show", v.Input.Where, "show %q hangs on %q, which is a road signal", l.Name, l.Input.Name).
				Because("a show comes after every signal, so a road function must not be one").Do("move it under signals:, or give it a switch of its own"))
		}
		b.plays(l, v.Arrive, v.Stay, v.Leave)
		if len(v.Takes.Items) > 0 {
			b.takes(l, v.Takes)
		} else {
			b.takesAllItTouches(l)
		}
		b.bars(l, v)
		b.fits(l)
		b.barsReach(l)
		b.kit.Layers = append(b.kit.Layers, l)
	}
}

func milliseconds[T interface{ Milliseconds() float64 }](v source.Of[T]) *float64 {
	if !v.Given() {
		return nil
	}
	ms := v.Value.Milliseconds()
	return &ms
}

// named refuses two layers of one name.
func (b *builder) named(l *Layer, seen map[string]report.Place) {
	if at, twice := seen[l.Name]; twice {
		b.add(report.Errorf("name-twice", l.At, "%q is the name of another signal or show", l.Name).See(at, "the other one").Do("rename one of them"))
	}
	seen[l.Name] = l.At
}

func (b *builder) input(n source.Name) *Input {
	in, ok := b.kit.Input(n.Text)
	if !ok {
		b.unknown("input", n.Text, n.Where, names(b.kit.Inputs, (*Input).name), nil)
		return nil
	}
	return in
}

// unwired tells whether an input has no wire to a module, and it was not for another fault that it got none.
func (b *builder) unwired(m *Module, in *Input) bool {
	return m.InputPins(in) == 0 && !b.list.HasErrors()
}

// plays resolves the routines of a layer.
func (b *builder) plays(l *Layer, arrive, stay, leave source.Name) {
	for _, p := range []struct {
		name source.Name
		into **Routine
	}{{arrive, &l.Arrive}, {stay, &l.Stay}, {leave, &l.Leave}} {
		if !p.name.Given() {
			continue
		}
		r, ok := b.kit.Routine(p.name.Text)
		if !ok {
			b.unknown("routine", p.name.Text, p.name.Where, names(b.kit.Routines, (*Routine).name), nil)
			continue
		}
		*p.into = r
	}
}

// Routines gives the routines of a layer that are there: arrive, stay, leave.
func (l *Layer) Routines() []*Routine {
	var all []*Routine
	for _, r := range []*Routine{l.Arrive, l.Stay, l.Leave} {
		if r != nil {
			all = append(all, r)
		}
	}
	return all
}

// takes resolves the groups that a layer may take.
func (b *builder) takes(l *Layer, regions source.OneOrMany[job.Region]) {
	taken := map[*Lamp][]int{}
	for _, r := range regions.Items {
		found, wrong := regionOn(b.kit.Lamps, r, func(i int, groups []int) {
			lamp := b.kit.Lamps[i]
			taken[lamp] = append(taken[lamp], groups...)
		})
		if !found && len(r.Names) == 2 {
			if _, ok := b.kit.Lamp(r.Names[0]); !ok {
				b.unknown("lamp", r.Names[0], r.Where, names(b.kit.Lamps, (*Lamp).name), nil)
				continue
			}
		}
		if !found {
			b.nowhere(r, wrong)
		}
	}
	b.setTakes(l, taken)
}

// nowhere reports a region that no lamp has.
func (b *builder) nowhere(r job.Region, wrong report.List) {
	hasZone := func(l *Lamp) bool { _, ok := l.Zone(r.Names[0]); return ok }
	if len(r.Names) == 2 || r.Part != nil && slices.ContainsFunc(b.kit.Lamps, hasZone) {
		b.placed(wrong, r.Where)
		return
	}
	var zones []string
	for _, l := range b.kit.Lamps {
		for _, z := range l.Zones {
			if !slices.Contains(zones, z.Name) {
				zones = append(zones, z.Name)
			}
		}
	}
	b.unknown("zone", r.Text, r.Where, zones, nil)
}

// takesAllItTouches lets a show take every group that its routines can light, of every lamp that all of them fit.
func (b *builder) takesAllItTouches(l *Layer) {
	taken := map[*Lamp][]int{}
	for _, lamp := range b.kit.Lamps {
		for _, r := range l.Routines() {
			bound := r.On(lamp)
			if bound == nil {
				delete(taken, lamp)
				break
			}
			taken[lamp] = append(taken[lamp], bound.Touches(lamp)...)
		}
	}
	b.setTakes(l, taken)
}

func (b *builder) setTakes(l *Layer, taken map[*Lamp][]int) {
	for _, lamp := range b.kit.Lamps {
		if groups := taken[lamp]; len(groups) > 0 {
			slices.Sort(groups)
			l.Takes = append(l.Takes, Take{Lamp: lamp, Groups: slices.Compact(groups)})
		}
	}
}

// flasher holds pace: flasher to what a flasher can do.
func (b *builder) flasher(l *Layer, v job.Signal) {
	if !l.Flasher {
		return
	}
	at := v.Pace.Where
	switch {
	case l.Input != nil && !strings.HasPrefix(l.Input.Road, "turn-"):
		b.add(report.Errorf("pace", at, "signal %q cannot follow a flasher", l.Name).
			Because("its input %s does not flash", l.Input.Name).Do("use pace: fixed, or a turn input"))
	case l.Arrive == nil:
		b.add(report.Errorf("pace", at, "signal %q follows the flasher, but has no arrive routine to stretch", l.Name).
			Do("name the sweep under arrive:, or use pace: fixed"))
	}
}

// fits checks that a layer's routines play on every lamp that it takes, and that those lamps' modules are wired for it.
func (b *builder) fits(l *Layer) {
	if len(l.Takes) == 0 && !b.list.HasErrors() {
		b.add(report.Errorf("takes", l.At, "%q takes no group", l.Name).
			Because("no lamp has all that its routines light").Do("name its groups under takes:, and check the zones in its routines"))
	}
	for _, t := range l.Takes {
		for _, r := range l.Routines() {
			if r.On(t.Lamp) != nil {
				continue
			}
			if r.Across != nil {
				b.add(report.Errorf("takes", l.At, "%q takes groups of lamp %q, but its routine %q does not run across it", l.Name, t.Lamp.Name, r.Name).
					See(r.At, "the routine").Do("add %s to across:, or take other groups", t.Lamp.Name))
			} else {
				b.add(report.Errorf("takes", l.At, "%q takes groups of lamp %q, but its routine %q does not fit that lamp", l.Name, t.Lamp.Name, r.Name).
					Because("the routine names zones or light paths that the lamp does not have").See(r.At, "the routine").
					Do("take groups of one lamp, as in %s.zone, or write a routine for lamp %s", firstFit(b.kit.Lamps, r), t.Lamp.Name))
			}
		}
		m, ok := b.kit.ModuleOf(t.Lamp)
		switch {
		case !ok:
			b.add(report.Errorf("takes", l.At, "%q takes groups of lamp %q, which has no module", l.Name, t.Lamp.Name).
				See(t.Lamp.At, "the lamp").Do("add a module for it, or take other groups"))
		case l.Input != nil && m.InputPins(l.Input) == 0:
			b.add(report.Errorf("input", l.At, "%q takes groups of lamp %q, but input %q has no wire to its module %q", l.Name, t.Lamp.Name, l.Input.Name, m.Name).
				Because("a module knows only its own wires").See(l.Input.At, "the input").
				Do("add a pin of %s to wire:, such as %s.%s, or take other groups", m.Name, m.Name, b.freePin(m)))
		}
	}
}

// freePin names the first input of a module that nothing uses yet.
func (b *builder) freePin(m *Module) string {
	for n, name := range m.inputNames() {
		free := true
		for _, in := range b.kit.Inputs {
			for _, p := range in.Pins {
				free = free && (p.Module != m || p.In != n)
			}
		}
		if free {
			return name
		}
	}
	return "in1"
}

func firstFit(lamps []*Lamp, r *Routine) string {
	for _, l := range lamps {
		if r.On(l) != nil {
			return l.Name
		}
	}
	return "lamp"
}
