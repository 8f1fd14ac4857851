package session

import (
	"encoding/json"
	"slices"
	"strconv"

	"lampwright/job"
	"lampwright/kit"
	"lampwright/lamp"
	"lampwright/report"
	"lampwright/source"
)

// The commands of the wiring map. Each works out which output every group hangs on afterwards, and changes the keys of the
// map that must change.

type moduleArg struct {
	Module string `json:"module"`
}

var _ = enter(Command{
	Name: "wire", Says: "hang a group on an output; what hung there takes the group's old output, or none",
	Args: map[string]string{"module": "its name", "group": "the group's name", "output": "1 and up; 0: none"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			moduleArg
			Group  string `json:"group"`
			Output int    `json:"output"`
		}
		return planWiring(s, "wire", raw, &a, &a.Module, func(m *kit.Module, outputOf []int) (string, report.List) {
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
	Args: map[string]string{"module": "its name", "a": "an output", "b": "another"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			moduleArg
			A int `json:"a"`
			B int `json:"b"`
		}
		return planWiring(s, "swap", raw, &a, &a.Module, func(m *kit.Module, outputOf []int) (string, report.List) {
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
	Args: map[string]string{"module": "its name", "from": "first output of the run", "to": "its last", "by": "places, negative: backwards"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			moduleArg
			From int `json:"from"`
			To   int `json:"to"`
			By   int `json:"by"`
		}
		return planWiring(s, "rotate", raw, &a, &a.Module, func(m *kit.Module, outputOf []int) (string, report.List) {
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
	Args: map[string]string{"module": "its name", "outputs": "group names with their outputs; groups that are not named keep theirs where it is free"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			moduleArg
			Outputs map[string]int `json:"outputs"`
		}
		return planWiring(s, "rewire", raw, &a, &a.Module, func(m *kit.Module, outputOf []int) (string, report.List) {
			lit := map[int]string{}
			for _, name := range slices.Sorted(mapKeys(a.Outputs)) {
				o := a.Outputs[name]
				if m.Lamp.GroupNamed(name) < 0 {
					return "", refuse("choose a group of the lamp", "lamp %s has no group %q", m.Lamp.Name, name)
				}
				if faults := onBoard(m, o, 1); faults != nil {
					return "", faults
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

func mapKeys(m map[string]int) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func onBoard(m *kit.Module, output, least int) report.List {
	if output < least || output > m.Board.Outputs {
		return refuse("use 1 to "+strconv.Itoa(m.Board.Outputs), "board %s has no output %d", m.Board.Name, output)
	}
	return nil
}

// planWiring reads a command's arguments, lets change work on the outputs of the module's groups (1-based, 0: none), and gives the edits
// that make the document say so.
func planWiring(s *State, name string, raw json.RawMessage, into any, module *string, change func(m *kit.Module, outputOf []int) (string, report.List)) (string, []source.Edit, report.List) {
	if faults := arguments(name, raw, into); faults != nil {
		return "", nil, faults
	}
	if s.Kit == nil {
		return "", nil, refuse("mend what stops work first", "the wiring of a broken job cannot be changed here")
	}
	m, known := s.Kit.Module(*module)
	if !known {
		return "", nil, refuse("choose a module of the job", "there is no module %q", *module)
	}
	outputOf := make([]int, len(m.Output))
	for g, o := range m.Output {
		outputOf[g] = o + 1
	}
	label, faults := change(m, outputOf)
	if faults != nil {
		return "", nil, faults
	}
	return label, wiringEdits(s, m, outputOf), nil
}

// wiringEdits gives the edits after which every group of a module hangs on its output.
func wiringEdits(s *State, m *kit.Module, outputOf []int) []source.Edit {
	at := source.Path{"modules", m.Name, "wiring"}
	doc, _ := s.Document.Modules.Get(m.Name)
	var edits []source.Edit
	var added source.Fields
	written := make([]bool, len(outputOf))
	for _, e := range doc.Wiring.Entries() {
		numbers := outputsOf(groupsNamed(m.Lamp, e.Name.Text), outputOf, written)
		if !slices.Equal(numbers, e.Value.Numbers()) {
			edits = append(edits, source.Set(at.With(e.Name.Text), job.OutputsValue(numbers)))
		}
	}
	for _, z := range m.Lamp.Zones { // the patterns first: every group is in one
		if slices.ContainsFunc(z.Groups, func(g int) bool { return outputOf[g] > 0 && !written[g] }) &&
			!slices.ContainsFunc(z.Groups, func(g int) bool { return written[g] }) {
			added = append(added, source.Field{Key: z.Name, Value: job.OutputsValue(outputsOf(z.Groups, outputOf, written))})
		}
	}
	if doc.Wiring.Len() == 0 {
		return []source.Edit{source.Set(at, added)}
	}
	for _, f := range added {
		edits = append(edits, source.Set(at.With(f.Key), f.Value))
	}
	return edits
}

// groupsNamed gives the groups that a key of a wiring map means.
func groupsNamed(l *kit.Lamp, key string) []int {
	groups, _ := l.Pick(lamp.Pick{With: []lamp.Term{{Zone: key}}})
	return groups
}

// outputsOf gives the outputs of groups and notes that they are written.
func outputsOf(groups, outputOf []int, written []bool) (numbers []int) {
	for _, g := range groups {
		numbers = append(numbers, outputOf[g])
		written[g] = true
	}
	return numbers
}
