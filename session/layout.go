package session

import (
	"encoding/json"
	"math"
	"slices"
	"strconv"

	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

var _ = enter(Command{
	Name: "shift", Says: "move patterns, LEDs, an outline or a light path of a lamp",
	Args: map[string]string{"paths": "list of paths of what is moved", "by": "[x, y] in mm"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Paths []source.Path `json:"paths"`
			By    [2]float64    `json:"by"`
		}
		if faults := arguments("shift", raw, &a); faults != nil {
			return "", nil, faults
		}
		tree := s.File.Tree()
		var edits []source.Edit
		for _, p := range a.Paths {
			value, there := at(tree, p)
			if !there {
				return "", nil, refuse("choose one that the job has", "there is nothing at %s", spoken(p))
			}
			edits = append(edits, shifted(value, p, a.By)...)
		}
		if len(edits) == 0 {
			return "", nil, refuse("choose LEDs, an outline or a light path", "nothing there has a place")
		}
		return "move " + calledAll(tree, a.Paths), edits, nil
	},
})

// calledAll says what paths lead to, for a label: a pattern by its name.
func calledAll(tree any, paths []source.Path) string {
	if len(paths) > 1 {
		return report.Count(len(paths), "thing")
	}
	value, _ := at(tree, paths[0])
	if one, ok := value.(source.Fields); ok && len(one) == 1 {
		body, _ := one[0].Value.(source.Fields)
		if name, ok := get(body, "name").(string); ok {
			return name
		}
	}
	return spoken(paths[0])
}

// pointKeys hold a point, and pointLists a list of points, in every pattern, outline and light path.
var pointKeys, pointLists = []string{"from", "to", "centre", "at"}, []string{"through", "outline"}

// shifted gives the edits that move every point of a value.
func shifted(value any, path source.Path, by [2]float64) (edits []source.Edit) {
	key := ""
	if len(path) > 0 {
		key = path[len(path)-1]
	}
	switch v := value.(type) {
	case source.Fields:
		for _, f := range v {
			edits = append(edits, shifted(f.Value, path.With(f.Key), by)...)
		}
	case []any:
		if slices.Contains(pointKeys, key) && len(v) == 2 {
			for i, c := range v {
				if moved, ok := shiftedBy(c, by[i]); ok && by[i] != 0 {
					edits = append(edits, source.Set(path.With(source.Index(i)), moved))
				}
			}
			return edits
		}
		if slices.Contains(pointLists, key) {
			for i, point := range v {
				edits = append(edits, shiftedPoint(point, path.With(source.Index(i)), by)...)
			}
			return edits
		}
		for i, item := range v {
			edits = append(edits, shifted(item, path.With(source.Index(i)), by)...)
		}
	}
	return edits
}

func shiftedPoint(value any, path source.Path, by [2]float64) (edits []source.Edit) {
	pair, ok := value.([]any)
	if !ok || len(pair) != 2 {
		return nil
	}
	for i, c := range pair {
		if moved, ok := shiftedBy(c, by[i]); ok && by[i] != 0 {
			edits = append(edits, source.Set(path.With(source.Index(i)), moved))
		}
	}
	return edits
}

// shiftedBy gives a coordinate as written, moved: mm to a hundredth.
func shiftedBy(written any, byMM float64) (float64, bool) {
	text, ok := written.(string)
	if !ok {
		return 0, false
	}
	mm, err := strconv.ParseFloat(text, 64)
	if err != nil {
		var l units.Length
		if l.UnmarshalText([]byte(text)) != nil {
			return 0, false
		}
		mm = float64(l / units.Millimetre)
	}
	return math.Round((mm+byMM)*100) / 100, true
}
