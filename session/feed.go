package session

import (
	"encoding/json"
	"reflect"
	"slices"

	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "feed", Says: "take over what a wire does, as a scope record showed it; notes and a resistor that the kit fits stay",
	Args: map[string]string{"input": "the input", "feed": "its feed as a mapping: kind, and what else the wire does"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Input string  `json:"input"`
			Feed  written `json:"feed"`
		}
		if faults := arguments("feed", raw, &a); faults != nil {
			return "", nil, faults
		}
		now, is := a.Feed.value.(source.Fields)
		if !is || !slices.ContainsFunc(now, func(f source.Field) bool { return f.Key == "kind" }) {
			return "", nil, refuse("give kind and what else the wire does", "that is no feed")
		}
		if _, there := at(s.File.Tree(), source.Path{"inputs", a.Input}); !there {
			return "", nil, refuse("choose an input of the job", "there is no input %q", a.Input)
		}
		return "feed of " + a.Input, feedEdits(s, source.Path{"inputs", a.Input, "feed"}, now), nil
	},
})

// kitsOwn are keys of a feed that no record shows: they stay when a record is taken over.
var kitsOwn = []string{"note", "pull-down"}

// feedEdits makes the feed at a path say what it now is, and leaves alone what is said already.
func feedEdits(s *State, path source.Path, now source.Fields) (edits []source.Edit) {
	value, _ := at(s.File.Tree(), path)
	was, is := value.(source.Fields)
	if !is {
		return []source.Edit{source.Set(path, now)}
	}
	for _, f := range now {
		if old, there := at(was, source.Path{f.Key}); !there || !reflect.DeepEqual(plainly(old), plainly(f.Value)) {
			edits = append(edits, source.Set(append(slices.Clone(path), f.Key), f.Value))
		}
	}
	for _, f := range was {
		if _, stays := at(now, source.Path{f.Key}); !stays && !slices.Contains(kitsOwn, f.Key) {
			edits = append(edits, source.Delete(append(slices.Clone(path), f.Key)))
		}
	}
	return edits
}
