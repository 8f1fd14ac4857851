package session

import (
	"encoding/json"
	"slices"

	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "join", Says: "let single LEDs light together, as one group",
	Args: map[string]string{"lamp": "its name", "leds": "names of single LEDs", "group": "the group's name"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a joinArgs
		l, faults := a.read(s, "join", raw)
		if faults != nil {
			return "", nil, faults
		}
		all := patternsOf(l)
		if len(a.LEDs) < 2 {
			return "", nil, refuse("choose two single LEDs or more", "one LED alone is a group already")
		}
		if problem := source.NameProblem(a.Group); problem != "" {
			return "", nil, refuse("use "+source.NameExpected, "%q cannot be a name: %s", a.Group, problem)
		}
		zones, _ := get(l, "zones").(source.Fields)
		taken := get(zones, a.Group) != nil
		gone := map[string][]string{}
		for _, p := range all {
			if p.kind == "led" && slices.Contains(a.LEDs, p.text("name")) {
				gone[p.block()] = []string{a.Group}
			}
		}
		for _, p := range all {
			if p.kind == "led" && slices.Contains(a.LEDs, p.text("name")) {
				continue
			}
			if p.block() == a.Group && gone[a.Group] == nil {
				taken = true // a pattern's, or a group's that none of these LEDs is in
			}
			delete(gone, p.block()) // something else is still found there
		}
		if taken {
			return "", nil, refuse("choose another name", "lamp %s has something called %q already", a.Lamp, a.Group)
		}
		delete(gone, a.Group)
		edits := renamedRegions(s.File.Tree(), a.Lamp, gone)
		for i, p := range all {
			if p.kind == "led" && slices.Contains(a.LEDs, p.text("name")) {
				edits = append(edits, source.Set(source.Path{"lamps", a.Lamp, "leds", source.Index(i), "led", "group"}, a.Group))
			}
		}
		became := func(group string) string {
			for old := range gone {
				if group == old+".1" {
					return a.Group + ".1"
				}
			}
			return group
		}
		edits, faults = relaid(s, a.Lamp, edits, became)
		return "join " + report.Count(len(a.LEDs), "LED") + " as " + a.Group, edits, faults
	},
})

var _ = enter(Command{
	Name: "unjoin", Says: "let single LEDs that light together light each by itself again",
	Args: map[string]string{"lamp": "its name", "leds": "names of single LEDs"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a joinArgs
		l, faults := a.read(s, "unjoin", raw)
		if faults != nil {
			return "", nil, faults
		}
		var edits []source.Edit
		gone := map[string][]string{}
		left := map[string]bool{}
		for i, p := range patternsOf(l) {
			if p.kind != "led" || !slices.Contains(a.LEDs, p.text("name")) || p.text("group") == "" {
				left[p.block()] = true
				continue
			}
			gone[p.block()] = append(gone[p.block()], p.text("name"))
			edits = append(edits, source.Delete(source.Path{"lamps", a.Lamp, "leds", source.Index(i), "led", "group"}))
		}
		if len(edits) == 0 {
			return "", nil, refuse("choose LEDs that carry group:", "none of these LEDs is in a group with others")
		}
		heir := map[string]string{} // of a group's output: its first LED
		for group, names := range gone {
			if left[group] {
				delete(gone, group)
				continue
			}
			heir[group+".1"] = names[0] + ".1"
		}
		edits = append(renamedRegions(s.File.Tree(), a.Lamp, gone), edits...)
		became := func(group string) string {
			if name := heir[group]; name != "" {
				return name
			}
			return group
		}
		edits, faults = relaid(s, a.Lamp, edits, became)
		return "unjoin " + report.Count(len(a.LEDs), "LED"), edits, faults
	},
})

type joinArgs struct {
	Lamp  string   `json:"lamp"`
	LEDs  []string `json:"leds"`
	Group string   `json:"group"`
}

// read gives the drawing, in which every LED that is named stands alone.
func (a *joinArgs) read(s *State, name string, raw json.RawMessage) (source.Fields, report.List) {
	if faults := arguments(name, raw, a); faults != nil {
		return nil, faults
	}
	l, faults := drawn(s, a.Lamp)
	if faults != nil {
		return nil, faults
	}
	singles := map[string]bool{}
	for _, p := range patternsOf(l) {
		if p.kind == "led" {
			singles[p.text("name")] = true
		}
	}
	for _, led := range a.LEDs {
		if !singles[led] {
			return nil, refuse("choose single LEDs; a pattern of several divides itself by group:", "lamp %s has no single LED %q", a.Lamp, led)
		}
	}
	return l, nil
}
