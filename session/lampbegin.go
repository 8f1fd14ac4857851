package session

import (
	"encoding/json"
	"slices"
	"strings"

	"lampwright/board"
	"lampwright/job"
	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "lamp", Says: "begin a lamp: its name and where on the car it sits; LEDs come next",
	Args: map[string]string{"name": "its name", "end": "rear or front", "side": "LH, RH or centre, by the driver's seat", "at": "[x, y] of its middle on the car, such as -720 mm; may be left out", "kind": "what it is, in your words; may be left out"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Name string   `json:"name"`
			End  job.End  `json:"end"`
			Side job.Side `json:"side"`
			At   []string `json:"at"`
			Kind string   `json:"kind"`
		}
		if faults := arguments("lamp", raw, &a); faults != nil {
			return "", nil, faults
		}
		if problem := source.NameProblem(a.Name); problem != "" {
			return "", nil, refuse("use "+source.NameExpected, "%q cannot be a name: %s", a.Name, problem)
		}
		tree := s.File.Tree()
		if _, taken := at(tree, source.Path{"lamps", a.Name}); taken {
			return "", nil, refuse("choose another name", "there is a lamp %q already", a.Name)
		}
		if !slices.Contains(a.End.Words(), string(a.End)) || !slices.Contains(a.Side.Words(), string(a.Side)) {
			return "", nil, refuse("choose rear or front, and LH, RH or centre", "where the lamp sits is not said")
		}
		if len(a.At) == 0 {
			x := map[job.Side]string{job.LH: "-600 mm", job.RH: "600 mm", job.Centre: "0 mm"}[a.Side]
			y := map[job.End]string{job.Rear: "900 mm", job.Front: "700 mm"}[a.End]
			a.At = []string{x, y}
		}
		if len(a.At) != 2 {
			return "", nil, refuse("give two lengths, or none", "a place on the car has an x and a y")
		}
		var lamp source.Fields
		if a.Kind != "" {
			lamp = append(lamp, source.Field{Key: "kind", Value: a.Kind})
		}
		lamp = append(lamp, source.Field{Key: "place", Value: source.Fields{{Key: "end", Value: string(a.End)}, {Key: "side", Value: string(a.Side)}, {Key: "at", Value: []any{a.At[0], a.At[1]}}}})
		edits := []source.Edit{source.Insert(source.Path{"lamps"}, a.Name, source.Below{Value: lamp})}
		tried, faults := outcomeOf(s, edits)
		if tried == nil {
			return "", nil, faults
		}
		return "begin lamp " + a.Name, edits, tried.in(a.Name)
	},
})

var _ = enter(Command{
	Name: "drive", Says: "give a lamp a module; what hangs where is then for the wiring",
	Args: map[string]string{"lamp": "its name", "module": "the new module's name", "board": "the kind of board; left out: one with enough outputs"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct{ Lamp, Module, Board string }
		if faults := arguments("drive", raw, &a); faults != nil {
			return "", nil, faults
		}
		tree := s.File.Tree()
		if _, there := at(tree, source.Path{"lamps", a.Lamp}); !there {
			return "", nil, refuse("choose a lamp of the job", "there is no lamp %q", a.Lamp)
		}
		if problem := source.NameProblem(a.Module); problem != "" {
			return "", nil, refuse("use "+source.NameExpected, "%q cannot be a name: %s", a.Module, problem)
		}
		value, _ := at(tree, source.Path{"modules"})
		modules, _ := value.(source.Fields)
		link := ""
		for _, m := range modules {
			f, _ := m.Value.(source.Fields)
			switch {
			case m.Key == a.Module:
				return "", nil, refuse("choose another name", "there is a module %q already", a.Module)
			case get(f, "lamp") == a.Lamp:
				return "", nil, refuse("wire that one, or take it out first", "lamp %q has the module %q already", a.Lamp, m.Key)
			case get(f, "link") == string(job.Leader):
				link = string(job.Follower)
			}
		}
		if a.Board == "" {
			a.Board = boardFor(s, a.Lamp)
		} else if _, err := board.Find(a.Board); err != nil {
			return "", nil, refuse("choose one of "+strings.Join(board.Names(), ", "), "there is no board %q", a.Board)
		}
		module := source.Fields{{Key: "board", Value: a.Board}, {Key: "lamp", Value: a.Lamp}, {Key: "wiring", Value: source.Fields{}}}
		if link != "" {
			module = append(module, source.Field{Key: "link", Value: link})
		}
		label := "give " + a.Lamp + " the module " + a.Module
		if len(modules) == 0 {
			return label, []source.Edit{source.Set(source.Path{"modules"}, source.Below{Value: source.Fields{{Key: a.Module, Value: module}}})}, nil
		}
		return label, []source.Edit{source.Insert(source.Path{"modules"}, a.Module, module)}, nil
	},
})

// boardFor gives the smallest board that the job uses, or else of the chain family, which has an output for every group of a lamp. A lamp
// that is not laid out yet gets one of 24.
func boardFor(s *State, lamp string) string {
	groups := 24
	if s.Seen != nil {
		if l, known := s.Seen.Lamp(lamp); known && len(l.Groups) > 0 {
			groups = len(l.Groups)
		}
	}
	family := "chain"
	if s.Seen != nil && len(s.Seen.Modules) > 0 && s.Seen.Modules[0].Board.Family != "" {
		family = s.Seen.Modules[0].Board.Family
	}
	best := ""
	for _, f := range []string{family, "chain"} {
		for _, b := range board.All() {
			if b.Family != f {
				continue
			}
			if best = b.Name; b.Outputs >= groups {
				return best
			}
		}
	}
	return best
}
