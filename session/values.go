package session

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"lampwright/report"
	"lampwright/source"
)

// The commands that change any value of the document by its path. The schema says what may stand where; the job is read
// anew after every change, so a wrong value shows up as a problem at its place.

var _ = enter(Command{
	Name: "set", Says: "make a value another one, or add it",
	Args: map[string]string{"path": "keys and list places that lead to it", "value": "text as it is to be written, number, truth, list or mapping"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Path  source.Path `json:"path"`
			Value written     `json:"value"`
		}
		if faults := arguments("set", raw, &a); faults != nil {
			return "", nil, faults
		}
		if len(a.Path) == 0 || !a.Value.given {
			return "", nil, refuse("name the value by its path", "set needs a path and a value")
		}
		return "change " + spoken(a.Path), []source.Edit{source.Set(a.Path, a.Value.value)}, nil
	},
})

var _ = enter(Command{
	Name: "remove", Says: "take a value, with its key, out of the document",
	Args: map[string]string{"path": "keys and list places that lead to it"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Path source.Path `json:"path"`
		}
		if faults := arguments("remove", raw, &a); faults != nil {
			return "", nil, faults
		}
		return "remove " + spoken(a.Path), []source.Edit{source.Delete(a.Path)}, nil
	},
})

var _ = enter(Command{
	Name: "add", Says: "put a value into a list",
	Args: map[string]string{"path": "the list", "value": "what to add", "before": "place that it takes, counted from 0; left out: the end"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Path   source.Path `json:"path"`
			Value  written     `json:"value"`
			Before *int        `json:"before"`
		}
		if faults := arguments("add", raw, &a); faults != nil {
			return "", nil, faults
		}
		if !a.Value.given {
			return "", nil, refuse("give what to add", "add needs a value")
		}
		edit := source.Append(a.Path, a.Value.value)
		if a.Before != nil {
			edit = source.AddBefore(a.Path, *a.Before, a.Value.value)
		}
		return "add to " + spoken(a.Path), []source.Edit{edit}, nil
	},
})

var _ = enter(Command{
	Name: "edits", Says: "make several edits as one step",
	Args: map[string]string{"label": "what the step is called in undo", "edits": "list of {op, path, key, after, index, value}"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Label string        `json:"label"`
			Edits []source.Edit `json:"edits"`
		}
		if faults := arguments("edits", raw, &a); faults != nil {
			return "", nil, faults
		}
		if a.Label == "" || len(a.Edits) == 0 {
			return "", nil, refuse("give both", "edits needs a label and at least one edit")
		}
		for i := range a.Edits {
			a.Edits[i].Value = plainly(a.Edits[i].Value)
		}
		return a.Label, a.Edits, nil
	},
})

// written is a value that came as JSON, made ready to be written into a document.
type written struct {
	given bool
	value any
}

func (w *written) UnmarshalJSON(text []byte) error {
	var edit source.Edit // which reads objects in their order
	if err := edit.UnmarshalJSON([]byte(fmt.Sprintf(`{"value":%s}`, bytes.TrimSpace(text)))); err != nil {
		return err
	}
	w.given, w.value = edit.Value != nil, plainly(edit.Value)
	return nil
}

// numeric is a number as the document has it.
var numeric = regexp.MustCompile(`^-?(0|[1-9][0-9]{0,14})(\.[0-9]{1,9})?$`)

// plainly lets a text that is a number or a truth be written without quotes, as a hand would write it.
func plainly(value any) any {
	switch v := value.(type) {
	case string:
		switch {
		case v == "true" || v == "false":
			return v == "true"
		case numeric.MatchString(v):
			if !strings.Contains(v, ".") {
				if n, err := strconv.Atoi(v); err == nil {
					return n
				}
			}
			if n, err := strconv.ParseFloat(v, 64); err == nil {
				return n
			}
		}
	case []any:
		for i := range v {
			v[i] = plainly(v[i])
		}
	case source.Fields:
		for i := range v {
			v[i].Value = plainly(v[i].Value)
		}
	}
	return value
}

// spoken says a path as a step's label has it.
func spoken(p source.Path) string {
	if len(p) > 3 {
		p = p[len(p)-3:]
	}
	return strings.Join(p, " ")
}
