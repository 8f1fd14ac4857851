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

func onBoard(m *kit.Module, output, least int) report.List {
	if output < least || output > m.Board.Outputs {
		return refuse("use 1 to "+strconv.Itoa(m.Board.Outputs), "board %s has no output %d", m.Board.Name, output)
	}
	return nil
}

// planWiring reads a command's arguments, lets change work on the outputs of the groups of each module (1-based, 0: none), and gives the
// edits that make the document say so.
func planWiring(s *State, name string, raw json.RawMessage, into any, modules func() []string, change func(m *kit.Module, outputOf []int) (string, report.List)) (string, []source.Edit, report.List) {
	if faults := arguments(name, raw, into); faults != nil {
		return "", nil, faults
	}
	var label string
	var edits []source.Edit
	for _, name := range modules() {
		m, faults := wirable(s, name)
		if faults != nil {
			return "", nil, faults
		}
		before := make([]int, len(m.Output))
		for g, o := range m.Output {
			before[g] = o + 1
		}
		outputOf := slices.Clone(before)
		if label, faults = change(m, outputOf); faults != nil {
			return "", nil, faults
		}
		for g, o := range outputOf {
			if load := loadOn(s, m, o); load != nil && o != before[g] {
				return "", nil, refuse("use another output, or move the load first", "output %d of %s switches the load of %s, so no group can hang there", o, m.Name, load.Name)
			}
		}
		edits = append(edits, wiringEdits(s, m, outputOf)...)
	}
	return label, edits, nil
}

// wirable gives a module whose wiring can be changed: nothing may be wrong with its lamp, its board and the map itself. Other things may, for
// a change here may be what mends them.
func wirable(s *State, name string) (*kit.Module, report.List) {
	const mend = "mend what stops work first"
	if s.Seen == nil || s.Document == nil {
		return nil, refuse(mend, "the wiring of a job that cannot be read cannot be changed here")
	}
	m, known := s.Seen.Module(name)
	if !known && s.Kit != nil {
		return nil, refuse("choose a module of the job", "there is no module %q", name)
	}
	if s.Kit != nil {
		return m, nil
	}
	broken := !known || len(m.Output) != len(m.Lamp.Groups)
	for _, d := range s.Problems {
		at := s.File.PathAt(d.Place)
		broken = broken || d.Severity == report.StopWork && (len(at) == 0 || at[0] == "lamps" || at[0] == "parts" ||
			at[0] == "modules" && (len(at) == 1 || at[1] == name && len(at) > 2 && slices.Contains([]string{"board", "lamp", "wiring"}, at[2])))
	}
	if broken {
		return nil, refuse(mend, "the wiring of %q cannot be changed while it, its board or its lamp is broken", name)
	}
	return m, nil
}

// loadOn gives the load that an output (1-based) of a module switches for the car's lamp check, or nil.
func loadOn(s *State, m *kit.Module, output int) *kit.Outage {
	for _, o := range s.Seen.Outages {
		if o.Module == m && o.Output == output-1 {
			return o
		}
	}
	return nil
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
		if !slices.Equal(numbers, e.Value.For(len(numbers))) {
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
