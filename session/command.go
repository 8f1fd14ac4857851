package session

import (
	"bytes"
	"encoding/json"
	"slices"
	"sort"
	"strings"

	"lampwright/job"
	"lampwright/report"
	"lampwright/source"
)

// Command is one thing that can be done to a job, as data: a window names it and gives arguments, and it becomes edits of the text.
type Command struct {
	Name string            `json:"name"`
	Says string            `json:"says"` // what it does, for a list of commands
	Args map[string]string `json:"args"` // each argument with what it is

	// plan gives the step's label and its edits for a state whose file can be read.
	plan func(s *State, args json.RawMessage) (label string, edits []source.Edit, faults report.List)
}

// commands holds every command by name; each is entered by the file that plans it.
var commands = map[string]Command{}

func enter(c Command) bool {
	if _, twice := commands[c.Name]; twice {
		panic("two commands called " + c.Name)
	}
	commands[c.Name] = c
	return true
}

// Commands lists every command, by name.
func Commands() []Command {
	var all []Command
	for _, c := range commands {
		all = append(all, c)
	}
	sort.Slice(all, func(i, k int) bool { return all[i].Name < all[k].Name })
	return all
}

// Do does a command for a window that saw the revision base. On failure nothing has changed and the list says why.
func (d *Desk) Do(base, name string, args json.RawMessage) report.List {
	c, known := commands[name]
	if !known {
		var names []string
		for n := range commands {
			names = append(names, n)
		}
		slices.Sort(names)
		return report.List{report.Errorf("command", report.Place{}, "there is no command %q", name).DidYouMean(name, names).
			Do("use one of: %s", strings.Join(names, ", "))}
	}
	s := d.State()
	if s.Revision == base && s.File != nil {
		label, edits, faults := c.plan(s, args)
		if faults.HasErrors() {
			return faults
		}
		return d.Apply(base, label, edits...)
	}
	return d.Apply(base, name) // says why it cannot be done
}

// arguments reads the arguments of a command; unknown ones are refused.
func arguments(command string, raw json.RawMessage, into any) report.List {
	if len(raw) == 0 {
		raw = json.RawMessage("{}")
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return report.List{report.Errorf("arguments", report.Place{}, "the arguments of %s cannot be read", command).
			Because("%s", strings.TrimPrefix(err.Error(), "json: ")).Do("give them as the list of commands says")}
	}
	return nil
}

// refuse is a command's refusal.
func refuse(next, format string, args ...any) report.List {
	return report.List{report.Errorf("refused", report.Place{}, format, args...).Do("%s", next)}
}

// Schema gives the JSON Schema of the document, for the forms of a window.
func Schema() []byte { return job.Schema() }
