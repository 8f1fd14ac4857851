package session

import (
	"encoding/json"
	"slices"

	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "order", Says: "give an item of a list another place: a signal or show another priority, a stroke another turn",
	Args: map[string]string{"path": "the item", "to": "its place afterwards, counted from 0"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Path source.Path `json:"path"`
			To   int         `json:"to"`
		}
		if faults := arguments("order", raw, &a); faults != nil {
			return "", nil, faults
		}
		return "move " + spoken(a.Path), []source.Edit{source.Move(a.Path, a.To)}, nil
	},
})

var _ = enter(Command{
	Name: "copy", Says: "put a copy of a value, with all that is in it, beside it or elsewhere",
	Args: map[string]string{"from": "the value's path", "into": "the mapping or list that gets it", "key": "its name there, in a mapping"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			From source.Path `json:"from"`
			Into source.Path `json:"into"`
			Key  string      `json:"key"`
		}
		if faults := arguments("copy", raw, &a); faults != nil {
			return "", nil, faults
		}
		value, there := at(s.File.Tree(), a.From)
		if !there || value == nil {
			return "", nil, refuse("choose a value of the job", "there is nothing at %s", spoken(a.From))
		}
		value = plainly(value)
		if a.Key == "" {
			return "copy " + spoken(a.From), []source.Edit{source.Append(a.Into, value)}, nil
		}
		return "copy " + spoken(a.From), []source.Edit{source.Insert(a.Into, a.Key, value)}, nil
	},
})

// at follows a path through a tree.
func at(tree any, path source.Path) (any, bool) {
	for _, step := range path {
		switch v := tree.(type) {
		case source.Fields:
			i := slices.IndexFunc(v, func(f source.Field) bool { return f.Key == step })
			if i < 0 {
				return nil, false
			}
			tree = v[i].Value
		case []any:
			i := slices.IndexFunc(indices(len(v)), func(s string) bool { return s == step })
			if i < 0 {
				return nil, false
			}
			tree = v[i]
		default:
			return nil, false
		}
	}
	return tree, true
}

func indices(n int) []string {
	all := make([]string, n)
	for i := range all {
		all[i] = source.Index(i)
	}
	return all
}
