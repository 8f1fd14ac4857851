package session

import (
	"encoding/json"
	"slices"
	"strconv"

	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

// The commands of the wiring map. Each works out which output every group hangs on afterwards, and changes the keys of the
// map that must change.

// moduleArg names the module that is changed, and one that is changed alike in the same step: that of the other hand.
type moduleArg struct {
	Module string `json:"module"`
	Also   string `json:"also"`
}

func (a *moduleArg) names() []string {
	if a.Also == "" || a.Also == a.Module {
		return []string{a.Module}
	}
	return []string{a.Module, a.Also}
}

const sayAlso = "another module, changed alike in the same step; may be left out"

var _ = enter(Command{
	Name: "wire", Says: "hang a group on an output; what hung there takes the group's old output, or none",
	Args: map[string]string{"module": "its name", "also": sayAlso, "group": "the group's name", "output": "1 and up; 0: none"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			moduleArg
			Group  string `json:"group"`
			Output int    `json:"output"`
		}
		return planWiring(s, "wire", raw, &a, a.names, func(m *kit.Module, outputOf []int) (string, report.List) {
			g := m.Lamp.GroupNamed(a.Group)
			if g < 0 {
				return "", refuse("choose a group of the lamp", "lamp %s has no group %q", m.Lamp.Name, a.Group)
			}
			if faults := onBoard(m, a.Output, 0); faults != nil {
				return "", faults
			}
			if other := slices.Index(outputOf, a.Output); other >= 0 && a.Output > 0 {
				outputOf[other] = outputOf[g]
			}
			outputOf[g] = a.Output
			if a.Output == 0 {
				return "take " + a.Group + " off", nil
			}
			return "hang " + a.Group + " on output " + strconv.Itoa(a.Output), nil
		})
	},
})

var _ = enter(Command{
	Name: "swap", Says: "let two outputs change places",
	Args: map[string]string{"module": "its name", "also": sayAlso, "a": "an output", "b": "another"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			moduleArg
			A int `json:"a"`
			B int `json:"b"`
		}
		return planWiring(s, "swap", raw, &a, a.names, func(m *kit.Module, outputOf []int) (string, report.List) {
			for _, o := range []int{a.A, a.B} {
				if faults := onBoard(m, o, 1); faults != nil {
					return "", faults
				}
			}
			for g, o := range outputOf {
				switch o {
				case a.A:
					outputOf[g] = a.B
				case a.B:
					outputOf[g] = a.A
				}
			}
			return "swap outputs " + strconv.Itoa(a.A) + " and " + strconv.Itoa(a.B), nil
		})
	},
})

var _ = enter(Command{
	Name: "rotate", Says: "move what hangs on a run of outputs along by some places, round the run",
	Args: map[string]string{"module": "its name", "also": sayAlso, "from": "first output of the run", "to": "its last", "by": "places, negative: backwards"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			moduleArg
			From int `json:"from"`
			To   int `json:"to"`
			By   int `json:"by"`
		}
		return planWiring(s, "rotate", raw, &a, a.names, func(m *kit.Module, outputOf []int) (string, report.List) {
			for _, o := range []int{a.From, a.To} {
				if faults := onBoard(m, o, 1); faults != nil {
					return "", faults
				}
			}
			n := a.To - a.From + 1
			if n < 2 {
				return "", refuse("name the lower output first", "a run from %d to %d has nothing to move", a.From, a.To)
			}
			for g, o := range outputOf {
				if o >= a.From && o <= a.To {
					outputOf[g] = a.From + ((o-a.From+a.By)%n+n)%n
				}
			}
			return "move outputs " + strconv.Itoa(a.From) + " to " + strconv.Itoa(a.To) + " along", nil
		})
	},
})

var _ = enter(Command{
	Name: "rewire", Says: "enter what was found on the real lamp: which group lit on which output",
	Args: map[string]string{"module": "its name", "outputs": "group names with their outputs; 0: it lit nowhere. Groups that are not named keep theirs where it is free"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Module  string         `json:"module"`
			Outputs map[string]int `json:"outputs"`
		}
		return planWiring(s, "rewire", raw, &a, func() []string { return []string{a.Module} }, func(m *kit.Module, outputOf []int) (string, report.List) {
			lit := map[int]string{}
			for _, name := range slices.Sorted(mapKeys(a.Outputs)) {
				o := a.Outputs[name]
				if m.Lamp.GroupNamed(name) < 0 {
					return "", refuse("choose a group of the lamp", "lamp %s has no group %q", m.Lamp.Name, name)
				}
				if faults := onBoard(m, o, 0); faults != nil {
					return "", faults
				}
				if o == 0 {
					outputOf[m.Lamp.GroupNamed(name)] = 0
					continue
				}
				if other, twice := lit[o]; twice {
					return "", refuse("look again: one of the two was read wrongly", "%s and %s are both said to hang on output %d", other, name, o)
				}
				lit[o] = name
			}
			for g, o := range outputOf {
				if _, taken := lit[o]; taken {
					outputOf[g] = 0
				}
			}
			for o, name := range lit {
				outputOf[m.Lamp.GroupNamed(name)] = o
			}
			return "enter the walk of " + m.Name, nil
		})
	},
})

var _ = enter(Command{
	Name: "fill", Says: "hang the groups that hang nowhere on the free outputs, both in their order",
	Args: map[string]string{"module": "its name", "also": sayAlso},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a moduleArg
		return planWiring(s, "fill", raw, &a, a.names, func(m *kit.Module, outputOf []int) (string, report.List) {
			var free []int
			for o := 1; o <= m.Board.Outputs; o++ {
				if !slices.Contains(outputOf, o) && loadOn(s, m, o) == nil {
					free = append(free, o)
				}
			}
			loose := 0
			for g, o := range outputOf {
				if o > 0 {
					continue
				}
				if loose++; loose <= len(free) {
					outputOf[g] = free[loose-1]
				}
			}
			if loose > len(free) {
				return "", refuse("take a board with more outputs, or make groups larger", "%d groups of %s hang nowhere, and %d outputs of %s are free", loose, m.Lamp.Name, len(free), m.Name)
			}
			return "hang what hung nowhere", nil
		})
	},
})

func mapKeys(m map[string]int) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}
