package session

import (
	"encoding/json"
	"maps"
	"slices"
	"strconv"

	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "pattern", Says: "change values of a pattern of LEDs; wiring maps keep to its groups",
	Args: map[string]string{"lamp": "its name", "index": "the pattern's place in the list, from 0", "values": "keys with what is to be written; null takes a key out"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Lamp   string             `json:"lamp"`
			Index  int                `json:"index"`
			Values map[string]written `json:"values"`
		}
		if faults := arguments("pattern", raw, &a); faults != nil {
			return "", nil, faults
		}
		l, faults := drawn(s, a.Lamp)
		if faults != nil {
			return "", nil, faults
		}
		all := patternsOf(l)
		if a.Index < 0 || a.Index >= len(all) || all[a.Index].body == nil {
			return "", nil, refuse("choose a pattern of the lamp", "lamp %s has no pattern %d", a.Lamp, a.Index+1)
		}
		p := all[a.Index]
		path := source.Path{"lamps", a.Lamp, "leds", strconv.Itoa(a.Index), p.kind}
		var edits []source.Edit
		for _, k := range slices.Sorted(maps.Keys(a.Values)) {
			there := slices.ContainsFunc(p.body, func(f source.Field) bool { return f.Key == k })
			switch v := a.Values[k]; {
			case k == "name":
				return "", nil, refuse("use rename", "a name stands in more than one place")
			case v.given:
				edits = append(edits, source.Set(path.With(k), v.value))
			case there:
				edits = append(edits, source.Delete(path.With(k)))
			}
		}
		if len(edits) == 0 {
			return "", nil, refuse("name at least one value", "nothing is to be changed")
		}
		edits, faults = relaid(s, a.Lamp, edits, nil)
		return "change " + p.text("name"), edits, faults
	},
})

var _ = enter(Command{
	Name: "erase", Says: "take LEDs, outlines, light paths or photos out of lamps; zones, functions and wiring maps lose them too",
	Args: map[string]string{"paths": "list of paths of what goes"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Paths []source.Path `json:"paths"`
		}
		if faults := arguments("erase", raw, &a); faults != nil {
			return "", nil, faults
		}
		if len(a.Paths) == 0 {
			return "", nil, refuse("choose something first", "nothing is to be erased")
		}
		tree := s.File.Tree()
		var edits []source.Edit
		patterns, paths := map[string][]int{}, map[string][]string{}
		for _, p := range a.Paths {
			if _, there := at(tree, p); !there {
				return "", nil, refuse("choose what the job has", "there is nothing at %s", spoken(p))
			}
			switch {
			case len(p) == 4 && p[0] == "lamps" && p[2] == "leds":
				leds, _ := at(tree, p[:3])
				i := slices.Index(indices(len(list(leds))), p[3])
				if i < 0 {
					return "", nil, refuse("mend leds: in the text first", "what lamp %s has under leds: is no list", p[1])
				}
				if !slices.Contains(patterns[p[1]], i) {
					patterns[p[1]] = append(patterns[p[1]], i)
				}
			case len(p) == 3 && p[0] == "lamps" && (p[2] == "outline" || p[2] == "photo"):
				edits = append(edits, source.Delete(p))
			case len(p) == 4 && p[0] == "lamps" && p[2] == "paths":
				paths[p[1]] = append(paths[p[1]], p[3])
			default:
				return "", nil, refuse("choose LEDs, an outline, a light path or a photo", "%s is no part of a drawing", spoken(p))
			}
		}
		for _, lamp := range slices.Sorted(maps.Keys(paths)) {
			edits = append(edits, withoutKeys(tree, source.Path{"lamps", lamp, "paths"}, paths[lamp])...)
		}
		for _, lamp := range slices.Sorted(maps.Keys(patterns)) {
			edits = append(edits, erased(tree, lamp, patterns[lamp])...)
		}
		label := "erase " + calledAll(tree, a.Paths)
		edits, faults := relaid(s, "", edits, nil)
		return label, edits, faults
	},
})

// unwired gives the edits that take what is gone out of the wiring maps of a lamp and its opposite hands: an output of nothing means
// nothing, also in a job that something else has broken.
func unwired(tree any, lamp string, gone map[string][]string) (edits []source.Edit) {
	value, _ := at(tree, source.Path{"modules"})
	modules, _ := value.(source.Fields)
	for _, m := range modules {
		f, _ := m.Value.(source.Fields)
		of, _ := get(f, "lamp").(string)
		wiring, _ := get(f, "wiring").(source.Fields)
		if !slices.Contains(hands(tree, lamp), of) {
			continue
		}
		var dead []source.Edit
		path := source.Path{"modules", m.Key, "wiring"}
		for _, w := range wiring {
			if _, is := gone[w.Key]; is {
				dead = append(dead, source.Delete(path.With(w.Key)))
			}
		}
		if len(dead) > 0 && len(dead) == len(wiring) {
			dead = []source.Edit{source.Set(path, source.Fields{})}
		}
		edits = append(edits, dead...)
	}
	return edits
}

// erased gives the edits that take patterns out of a lamp, with the regions that spoke of them.
func erased(tree any, lamp string, indices []int) []source.Edit {
	value, _ := at(tree, source.Path{"lamps", lamp})
	l, _ := value.(source.Fields)
	all := patternsOf(l)
	slices.Sort(indices)
	left := map[string]bool{}
	for i, p := range all {
		if !slices.Contains(indices, i) {
			left[p.block()] = true
		}
	}
	gone := map[string][]string{}
	for _, i := range indices {
		if !left[all[i].block()] {
			gone[all[i].block()] = nil
		}
	}
	edits := append(renamedRegions(tree, lamp, gone), unwired(tree, lamp, gone)...)
	path := source.Path{"lamps", lamp, "leds"}
	if len(indices) == len(all) {
		return append(edits, source.Delete(path))
	}
	for _, i := range slices.Backward(indices) {
		edits = append(edits, source.Delete(path.With(strconv.Itoa(i))))
	}
	return edits
}
