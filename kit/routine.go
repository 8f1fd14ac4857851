package kit

import (
	"slices"
	"strings"

	"lampwright/job"
	"lampwright/light"
	"lampwright/report"
)

// Routine is a routine of the job. It is bound to every stage (a lamp, or the lamps it runs across) that it is used on.
type Routine struct {
	Name   string
	Across []*Lamp // lamps that it runs over as over one; nil: each lamp by itself
	At     report.Place

	source job.Routine
	bound  map[string]*Bound // by the names of the stage's lamps
}

// Bound is a routine resolved on a stage: the light of every LED of its lamps.
type Bound struct {
	Lamps   []*Lamp
	Stage   *light.Stage
	Light   *light.Routine
	touches [][]int
}

// Touches gives the groups of a lamp whose light the routine may change, ascending.
func (b *Bound) Touches(l *Lamp) []int {
	if i := slices.Index(b.Lamps, l); i >= 0 {
		return b.touches[i]
	}
	return nil
}

// GroupLEDs gives the stage's LED numbers of groups of one of its lamps.
func (b *Bound) GroupLEDs(l *Lamp, groups []int) []int {
	return b.Stage.GroupLEDs(slices.Index(b.Lamps, l), groups)
}

// On gives the routine as it plays on a lamp: on the lamp by itself, or on the lamps that it runs across. It is nil for a lamp that it does not fit.
func (r *Routine) On(l *Lamp) *Bound {
	if r.Across == nil {
		return r.bound[l.Name]
	}
	if !slices.Contains(r.Across, l) {
		return nil
	}
	return r.bound[stageName(r.Across)]
}

func stageName(lamps []*Lamp) string { return strings.Join(names(lamps, (*Lamp).name), "+") }

// routines resolves the routines' lamps. Their strokes are bound when a signal or show is known to use them, and a routine that fits no lamp at all is refused.
func (b *builder) routines() {
	for _, e := range b.doc.Routines.Entries() {
		r := &Routine{Name: e.Name.Text, At: e.Name.Where, source: e.Value, bound: map[string]*Bound{}}
		for _, n := range e.Value.Across.Items {
			l, ok := b.kit.Lamp(n.Text)
			switch {
			case !ok:
				b.unknown("lamp", n.Text, n.Where, names(b.kit.Lamps, (*Lamp).name), b.doc.Lamps.Keys())
			case slices.Contains(r.Across, l):
				b.add(report.Errorf("routine", n.Where, "lamp %q is named twice", n.Text).Do("name each lamp once"))
			default:
				r.Across = append(r.Across, l)
			}
		}
		b.kit.Routines = append(b.kit.Routines, r)
	}
	if b.list.HasErrors() {
		return // what follows would repeat faults of lamps and names
	}
	for _, r := range b.kit.Routines {
		b.bindEverywhere(r)
	}
	// A circle of calls is met from each of its routines, and told at the first.
	b.list.Sort()
	circles := map[string]bool{}
	b.list = slices.DeleteFunc(b.list, func(d report.Diagnostic) bool {
		told := d.ID == "call" && circles[d.Text]
		circles[d.Text] = true
		return told
	})
}

// bindEverywhere binds a routine on every stage that it fits.
func (b *builder) bindEverywhere(r *Routine) {
	stages := [][]*Lamp{r.Across}
	if r.Across == nil {
		stages = nil
		for _, l := range b.kit.Lamps {
			stages = append(stages, []*Lamp{l})
		}
	}
	var first report.List
	fitted := false
	for _, lamps := range stages {
		bound, faults, fits := b.bind(r, lamps)
		switch {
		case fits && faults.HasErrors():
			b.list.Add(faults...) // it fits, and is wrong
			return
		case fits:
			if !fitted {
				b.list.Add(faults...) // cautions, once
			}
			fitted = true
			r.bound[stageName(lamps)] = bound
		case first == nil:
			first = faults
		}
	}
	if !fitted {
		b.list.Add(first...)
	}
}

// scene gives the stage of lamps; routines on the same lamps share it.
func (b *builder) scene(lamps []*Lamp) *scene {
	name := stageName(lamps)
	if b.scenes[name] == nil {
		if b.scenes == nil {
			b.scenes = map[string]*scene{}
		}
		b.scenes[name] = newScene(lamps)
	}
	return b.scenes[name]
}

// bind resolves a routine on a stage. fits is false when a region of the routine is not on the stage; the faults say which.
func (b *builder) bind(r *Routine, lamps []*Lamp) (bound *Bound, faults report.List, fits bool) {
	c := &binder{kit: b.kit, lamps: lamps, stage: b.scene(lamps), whole: true,
		places: map[*light.Routine][]report.Place{}, at: map[*light.Routine]report.Place{}}
	routine := c.routine(r, nil)
	if !c.whole {
		return nil, c.faults, false
	}
	c.check(routine)
	bound = &Bound{Lamps: lamps, Stage: c.stage.Stage, Light: routine, touches: make([][]int, len(lamps))}
	touched := make([]bool, c.stage.Len())
	c.touch(routine, touched)
	for i, l := range lamps {
		for g := range l.Groups {
			if slices.ContainsFunc(l.Groups[g].LEDs, func(led int) bool { return touched[c.stage.LED(i, led)] }) {
				bound.touches[i] = append(bound.touches[i], g)
			}
		}
	}
	return bound, c.faults, true
}
