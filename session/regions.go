package session

import (
	"slices"
	"strings"

	"lampwright/job"
	"lampwright/report"
	"lampwright/source"
)

// hands lists a lamp and its opposite hands: what is drawn on the lamp is on all of them.
func hands(tree any, lamp string) []string {
	all := []string{lamp}
	lamps, _ := at(tree, source.Path{"lamps"})
	fields, _ := lamps.(source.Fields)
	for _, f := range fields {
		if l, ok := f.Value.(source.Fields); ok && get(l, "opposite-hand-of") == lamp {
			all = append(all, f.Key)
		}
	}
	return all
}

// drawn gives the drawing of a lamp, or why there is none to change.
func drawn(s *State, lamp string) (source.Fields, report.List) {
	value, there := at(s.File.Tree(), source.Path{"lamps", lamp})
	l, ok := value.(source.Fields)
	if !there || !ok {
		return nil, refuse("choose a lamp of the job", "there is no lamp %q", lamp)
	}
	if of, hand := get(l, "opposite-hand-of").(string); hand {
		return nil, refuse("draw on "+of, "%q is the opposite hand of %q and has no drawing of its own", lamp, of)
	}
	return l, nil
}

// renamedRegions gives the edits after which regions speak of other names of a lamp: each name that is gone gives way to others. Where none
// takes its place the region goes, and with the last one the zone or function that it was for; what takes light or gives it keeps
// such a region, for its author to see.
func renamedRegions(tree any, lamp string, gone map[string][]string) []source.Edit {
	r := regionChange{tree: tree, lamp: lamp, hands: hands(tree, lamp), gone: gone}
	r.own()
	for _, kind := range []string{"signals", "shows"} {
		items, _ := at(tree, source.Path{kind})
		for i, item := range list(items) {
			if named, ok := item.(source.Fields); ok && len(named) == 1 {
				r.light(source.Path{kind, source.Index(i), named[0].Key}, named[0].Value, "takes")
			}
		}
	}
	routines, _ := at(tree, source.Path{"routines"})
	fields, _ := routines.(source.Fields)
	for _, routine := range fields {
		strokes, _ := at(routine.Value, source.Path{"strokes"})
		for i, stroke := range list(strokes) {
			if one, ok := stroke.(source.Fields); ok && len(one) == 1 {
				r.light(source.Path{"routines", routine.Key, "strokes", source.Index(i), one[0].Key}, one[0].Value, "on")
			}
		}
	}
	return r.edits
}

type regionChange struct {
	tree  any
	lamp  string
	hands []string
	gone  map[string][]string
	edits []source.Edit
}

// own changes the zones and functions of the lamp itself. A zone that loses all it had is gone as well.
func (r *regionChange) own() {
	at0 := source.Path{"lamps", r.lamp}
	var dead []string
	for again := true; again; {
		again = false
		value, _ := at(r.tree, at0.With("zones"))
		zones, _ := value.(source.Fields)
		for _, z := range zones {
			if _, already := r.gone[z.Key]; already {
				continue
			}
			if left, changed := r.zone(z.Value); changed && left == nil {
				r.gone[z.Key], again = nil, true
				dead = append(dead, z.Key)
			}
		}
	}
	r.edits = append(r.edits, withoutKeys(r.tree, at0.With("zones"), dead)...)
	dead = nil
	value, _ := at(r.tree, at0.With("zones"))
	zones, _ := value.(source.Fields)
	for _, z := range zones {
		if left, changed := r.zone(z.Value); changed && left != nil {
			r.edits = append(r.edits, source.Set(at0.With("zones", z.Key), left))
		}
	}
	value, _ = at(r.tree, at0.With("functions"))
	functions, _ := value.(source.Fields)
	for _, f := range functions {
		keys, _ := f.Value.(source.Fields)
		regions, changed := r.regions(list(get(keys, "zone")), true)
		switch {
		case changed && len(regions) == 0:
			dead = append(dead, f.Key)
		case changed:
			r.edits = append(r.edits, source.Set(at0.With("functions", f.Key, "zone"), oneOrList(regions)))
		}
	}
	r.edits = append(r.edits, withoutKeys(r.tree, at0.With("functions"), dead)...)
}

// withoutKeys gives the edits that take keys out of a mapping, and the mapping itself with the last of them.
func withoutKeys(tree any, path source.Path, keys []string) (edits []source.Edit) {
	value, _ := at(tree, path)
	if f, _ := value.(source.Fields); len(f) > 0 && len(f) == len(keys) {
		return []source.Edit{source.Delete(path)}
	}
	for _, k := range keys {
		edits = append(edits, source.Delete(path.With(k)))
	}
	return edits
}

// zone gives what is left of a zone, in its own form; nil when nothing is.
func (r *regionChange) zone(value any) (left any, changed bool) {
	long, isLong := value.(source.Fields)
	if !isLong {
		regions, changed := r.regions(list(value), true)
		if len(regions) == 0 {
			return nil, changed
		}
		return oneOrList(regions), changed
	}
	var next source.Fields
	for _, f := range long {
		if f.Key == "with" || f.Key == "without" {
			regions, other := r.regions(list(f.Value), true)
			changed = changed || other
			if len(regions) == 0 {
				if f.Key == "with" {
					return nil, changed
				}
				continue
			}
			f.Value = oneOrList(regions)
		}
		next = append(next, source.Field{Key: f.Key, Value: plainly(f.Value)})
	}
	return next, changed
}

// light changes the regions of a signal, show or stroke where others take their place.
func (r *regionChange) light(path source.Path, value any, key string) {
	f, _ := value.(source.Fields)
	regions, changed := r.regions(list(get(f, key)), false)
	if changed && len(regions) > 0 {
		r.edits = append(r.edits, source.Set(path.With(key), oneOrList(regions)))
	}
}

// regions puts the new names in the place of those that are gone. Within the lamp names stand alone; elsewhere only those count that
// name the lamp or a hand of it, or that no other lamp has.
func (r *regionChange) regions(written []any, within bool) (out []any, changed bool) {
	for _, w := range written {
		text, _ := w.(string)
		region, problem := job.ParseRegion(text)
		if problem != "" {
			out = append(out, w)
			continue
		}
		name, head := region.Names[len(region.Names)-1], ""
		if len(region.Names) == 2 {
			head = region.Names[0] + "."
		}
		next, gone := r.gone[name]
		ours := within && head == "" || head != "" && slices.Contains(r.hands, strings.TrimSuffix(head, ".")) || head == "" && !within && !r.elsewhere(name)
		if !gone || !ours || !within && len(next) == 0 {
			out = append(out, w)
			continue
		}
		changed = true
		for _, n := range next {
			out = append(out, head+n)
		}
	}
	if changed {
		seen := map[string]bool{}
		out = slices.DeleteFunc(out, func(v any) bool {
			text, is := v.(string)
			twice := is && seen[text]
			seen[text] = true
			return twice
		})
	}
	return out, changed
}

// elsewhere tells whether another lamp that is drawn has a pattern, LED, group or zone of a name.
func (r *regionChange) elsewhere(name string) bool {
	value, _ := at(r.tree, source.Path{"lamps"})
	lamps, _ := value.(source.Fields)
	for _, l := range lamps {
		f, _ := l.Value.(source.Fields)
		if l.Key == r.lamp || f == nil {
			continue
		}
		zones, _ := get(f, "zones").(source.Fields)
		if get(zones, name) != nil || slices.Contains(blockNames(f), name) {
			return true
		}
	}
	return false
}

// blockNames lists the names under which the LEDs of a lamp are found: those of its patterns, and of the groups of its single LEDs.
func blockNames(lamp source.Fields) (names []string) {
	for _, p := range patternsOf(lamp) {
		names = append(names, p.block())
	}
	return names
}
