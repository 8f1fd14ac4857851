package session

import (
	"encoding/json"
	"slices"
	"strconv"

	"lampwright/job"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "zone", Says: "make a zone of groups, or let one be of these groups from now on",
	Args: map[string]string{"lamp": "its name", "name": "the zone's", "groups": "names of groups"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a zoneArgs
		l, seen, groups, faults := a.read(s, "zone", raw)
		if faults != nil {
			return "", nil, faults
		}
		if problem := source.NameProblem(a.Name); problem != "" {
			return "", nil, refuse("use "+source.NameExpected, "%q cannot be a name: %s", a.Name, problem)
		}
		zones, _ := get(l, "zones").(source.Fields)
		if _, taken := seen.Zone(a.Name); taken && get(zones, a.Name) == nil {
			return "", nil, refuse("choose another name", "a pattern called %q makes a zone of that name", a.Name)
		}
		return "zone " + a.Name, []source.Edit{setBelow(l, source.Path{"lamps", a.Lamp}, "zones", a.Name, oneOrList(regionsOf(seen, groups)))}, nil
	},
})

var _ = enter(Command{
	Name: "serve", Says: "let groups of a lamp serve a road function",
	Args: map[string]string{"lamp": "its name", "function": "turn, stop, tail, reverse, drl, fog, side-marker or park", "groups": "names of groups",
		"required": "true: it replaces the car's own lamp"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a zoneArgs
		l, seen, groups, faults := a.read(s, "serve", raw)
		if faults != nil {
			return "", nil, faults
		}
		known := (&job.Functions{Turn: &job.Function{}, Stop: &job.Function{}, Tail: &job.Function{}, Reverse: &job.Function{}, DRL: &job.Function{},
			Fog: &job.Function{}, SideMarker: &job.Function{}, Park: &job.Function{}}).All()
		if !slices.ContainsFunc(known, func(f job.NamedFunction) bool { return f.Name == a.Function }) {
			return "", nil, refuse("choose turn, stop, tail, reverse, drl, fog, side-marker or park", "there is no road function %q", a.Function)
		}
		zone := oneOrList(regionsOf(seen, groups))
		for _, z := range seen.Zones {
			if slices.Equal(z.Groups, groups) {
				zone = z.Name
			}
		}
		value := source.Fields{{Key: "zone", Value: zone}, {Key: "required", Value: a.Required}}
		return a.Function + " of " + a.Lamp, []source.Edit{setBelow(l, source.Path{"lamps", a.Lamp}, "functions", a.Function, value)}, nil
	},
})

type zoneArgs struct {
	Lamp     string   `json:"lamp"`
	Name     string   `json:"name"`
	Function string   `json:"function"`
	Groups   []string `json:"groups"`
	Required bool     `json:"required"`
}

// read gives the drawing, the lamp as it is understood, and the groups in its order.
func (a *zoneArgs) read(s *State, name string, raw json.RawMessage) (source.Fields, *kit.Lamp, []int, report.List) {
	if faults := arguments(name, raw, a); faults != nil {
		return nil, nil, nil, faults
	}
	l, faults := drawn(s, a.Lamp)
	if faults != nil {
		return nil, nil, nil, faults
	}
	if s.Seen == nil {
		return nil, nil, nil, refuse("mend what stops work first", "the groups of a job that cannot be read are not known")
	}
	seen, known := s.Seen.Lamp(a.Lamp)
	if !known {
		return nil, nil, nil, refuse("mend the lamp first", "the groups of lamp %q are not known while it is broken", a.Lamp)
	}
	if len(a.Groups) == 0 {
		return nil, nil, nil, refuse("choose groups of the lamp", "no group is chosen")
	}
	var groups []int
	for _, g := range a.Groups {
		i := seen.GroupNamed(g)
		if i < 0 {
			return nil, nil, nil, refuse("choose a group of the lamp", "lamp %s has no group %q", a.Lamp, g)
		}
		groups = append(groups, i)
	}
	slices.Sort(groups)
	return l, seen, slices.Compact(groups), nil
}

// setBelow sets an entry of a section of a lamp, which is begun where there is none.
func setBelow(l source.Fields, path source.Path, section, key string, value any) source.Edit {
	if get(l, section) == nil && !slices.ContainsFunc(l, func(f source.Field) bool { return f.Key == section }) {
		return source.Set(path.With(section), source.Below{Value: source.Fields{{Key: key, Value: value}}})
	}
	return source.Set(path.With(section, key), value)
}

// regionsOf names groups in as few words as a document can: whole patterns, and runs of their groups.
func regionsOf(l *kit.Lamp, groups []int) (regions []any) {
	for i := 0; i < len(groups); {
		block, number := blockOf(l, groups[i])
		n := 1
		for i+n < len(groups) && groups[i+n] == groups[i]+n {
			if next, _ := blockOf(l, groups[i+n]); next != block {
				break
			}
			n++
		}
		z, _ := l.Zone(block)
		switch {
		case n == len(z.Groups):
			regions = append(regions, block)
		case n == 1:
			regions = append(regions, block+"."+strconv.Itoa(number))
		default:
			regions = append(regions, block+"."+job.Run{First: number, Last: number + n - 1}.String())
		}
		i += n
	}
	return regions
}

// blockOf gives the pattern that a group comes from, and its number in it: a group is called arrow.3.
func blockOf(l *kit.Lamp, group int) (string, int) {
	name := l.Groups[group].Name
	for i := len(name) - 1; i > 0; i-- {
		if name[i] == '.' {
			n, _ := strconv.Atoi(name[i+1:])
			return name[:i], n
		}
	}
	return name, 1
}
