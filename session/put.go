package session

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"lampwright/job"
	"lampwright/report"
	"lampwright/source"
)

// MostPatterns is how many patterns a lamp may have, as the schema says.
const MostPatterns = 500

var _ = enter(Command{
	Name: "put", Says: "put patterns of LEDs into a lamp, under names that are free there, with the parts that they bring along",
	Args: map[string]string{"lamp": "its name", "text": "the patterns as a document has them below leds:, perhaps with parts: as a document has them", "by": "[x, y] in mm by which they are moved; may be left out"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Lamp string     `json:"lamp"`
			Text string     `json:"text"`
			By   [2]float64 `json:"by"`
		}
		if faults := arguments("put", raw, &a); faults != nil {
			return "", nil, faults
		}
		l, faults := drawn(s, a.Lamp)
		if faults != nil {
			return "", nil, faults
		}
		patterns, brought, faults := readPatterns(a.Text)
		if faults != nil {
			return "", nil, faults
		}
		if faults := roomFor(l, a.Lamp, len(patterns)); faults != nil {
			return "", nil, faults
		}
		edits := putParts(s.File.Tree(), patterns, brought)
		taken := takenIn(l)
		groups := map[string]string{} // of single LEDs: as written, as free
		for _, p := range patterns {
			one := p.(source.Fields)[0]
			body := one.Value.(source.Fields)
			for i := range body {
				switch text, _ := body[i].Value.(string); {
				case body[i].Key == "name":
					body[i].Value = taken.free(text)
				case body[i].Key == "group" && one.Key == "led":
					if _, known := groups[text]; !known {
						groups[text] = taken.free(text)
					}
					body[i].Value = groups[text]
				}
			}
			for _, e := range shifted(p, source.Path{}, a.By) {
				replaceAt(p, e.Path, e.Value)
			}
			plainly(p)
		}
		label := "put " + report.Count(len(patterns), "pattern") + " into " + a.Lamp
		if len(patterns) == 1 {
			name, _ := at(patterns[0], source.Path{patterns[0].(source.Fields)[0].Key, "name"})
			label = fmt.Sprintf("put %v into %s", name, a.Lamp)
		}
		return label, append(edits, addPatterns(source.Path{"lamps", a.Lamp}, l, patterns)...), nil
	},
})

// readPatterns reads patterns as a document writes them: the items of a list, with or without the key leds, and where that key is the parts
// that they use.
func readPatterns(text string) (patterns []any, brought source.Fields, faults report.List) {
	no := func(why string) ([]any, source.Fields, report.List) {
		return nil, nil, refuse("copy LEDs in the layout of a lamp, or lines such as - row: {…} from a job file", "%s", why)
	}
	if len(text) > source.TextLimitBytes {
		return no("what was to be put in is far too long")
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	if strings.TrimSpace(text) == "" {
		return no("there is nothing to put in")
	}
	if first := strings.TrimSpace(strings.SplitN(strings.TrimLeft(text, "\n"), "\n", 2)[0]); !strings.HasPrefix(first, "leds:") && !strings.HasPrefix(first, "parts:") {
		text = "leds:\n" + text
	}
	f, faults := source.Parse("what is put in", []byte(text))
	if f == nil {
		return no("what was to be put in is no list of patterns")
	}
	var read struct {
		source.At
		Parts source.Map[job.Part] `yaml:"parts,omitempty"`
		LEDs  []job.Pattern        `yaml:"leds" least:"1"`
	}
	if faults = append(faults, f.Decode(&read)...); faults.HasErrors() {
		return nil, nil, faults
	}
	value, _ := at(f.Tree(), source.Path{"leds"})
	definitions, _ := at(f.Tree(), source.Path{"parts"})
	brought, _ = definitions.(source.Fields)
	return list(value), brought, nil
}

// replaceAt puts a value into a tree of one's own.
func replaceAt(tree any, path source.Path, value any) {
	parent, _ := at(tree, path[:len(path)-1])
	switch v := parent.(type) {
	case source.Fields:
		for i := range v {
			if v[i].Key == path[len(path)-1] {
				v[i].Value = value
			}
		}
	case []any:
		v[slices.Index(indices(len(v)), path[len(path)-1])] = value
	}
}

// roomFor refuses more patterns than a lamp may have.
func roomFor(l source.Fields, lamp string, more int) report.List {
	if have := len(patternsOf(l)); have+more > MostPatterns {
		return refuse("use rows, grids or lines, which hold many LEDs each", "lamp %s would have %d patterns, and may have %d", lamp, have+more, MostPatterns)
	}
	return nil
}

var _ = enter(Command{
	Name: "leds", Says: "put single LEDs at points, named by a word and numbers, row by row from the top",
	Args: map[string]string{"lamp": "its name", "word": "that names them", "part": "the LED part", "points": "list of [x, y] in mm", "group": "one that they join; left out: each is its own"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Lamp   string       `json:"lamp"`
			Word   string       `json:"word"`
			Part   string       `json:"part"`
			Points [][2]float64 `json:"points"`
			Group  string       `json:"group"`
		}
		if faults := arguments("leds", raw, &a); faults != nil {
			return "", nil, faults
		}
		l, faults := drawn(s, a.Lamp)
		if faults != nil {
			return "", nil, faults
		}
		for _, name := range []string{a.Word, a.Part, a.Group} {
			if problem := source.NameProblem(name); problem != "" && (name != "" || name == a.Word && a.Word == "") {
				return "", nil, refuse("use "+source.NameExpected, "%q cannot be a name: %s", name, problem)
			}
		}
		switch {
		case a.Part == "":
			return "", nil, refuse("choose an LED part", "an LED needs a part")
		case len(a.Points) == 0:
			return "", nil, refuse("choose at least one point", "there is no point for an LED")
		}
		for _, p := range a.Points {
			for _, mm := range p {
				if !(math.Abs(mm) <= job.PointLimitMM) {
					return "", nil, refuse("choose points within 5000 mm", "a point lies far outside any lamp")
				}
			}
		}
		if faults := roomFor(l, a.Lamp, len(a.Points)); faults != nil {
			return "", nil, faults
		}
		taken := takenIn(l)
		group := ""
		if a.Group != "" {
			group = taken.free(a.Group)
		}
		var patterns []any
		for _, p := range inRows(a.Points) {
			body := source.Fields{{Key: "name", Value: taken.numbered(a.Word, 1)}, {Key: "at", Value: []any{hundredth(p[0]), hundredth(p[1])}}, {Key: "part", Value: a.Part}}
			if group != "" {
				body = append(body, source.Field{Key: "group", Value: group})
			}
			patterns = append(patterns, source.Fields{{Key: "led", Value: body}})
		}
		return "put " + report.Count(len(patterns), "LED") + " into " + a.Lamp, addPatterns(source.Path{"lamps", a.Lamp}, l, patterns), nil
	},
})

func hundredth(mm float64) float64 { return math.Round(mm*100)/100 + 0 }

// inRows orders points as they are read: rows from the top, each from the left. Points belong to one row while each lies less than half
// the usual distance of neighbours below the one before it.
func inRows(points [][2]float64) [][2]float64 {
	points = slices.Clone(points)
	sort.SliceStable(points, func(i, k int) bool { return points[i][1] > points[k][1] })
	most := neighbourDistance(points) / 2
	var out, row [][2]float64
	end := func() {
		sort.SliceStable(row, func(i, k int) bool { return row[i][0] < row[k][0] })
		out, row = append(out, row...), nil
	}
	for i, p := range points {
		if i > 0 && points[i-1][1]-p[1] > most {
			end()
		}
		row = append(row, p)
	}
	end()
	return out
}

// neighbourDistance is the middle one of the distances from a point to its nearest neighbour, mm.
func neighbourDistance(points [][2]float64) float64 {
	var near []float64
	for i, p := range points {
		least := math.Inf(1)
		for k, q := range points {
			if d := math.Hypot(p[0]-q[0], p[1]-q[1]); k != i && d > 0 {
				least = min(least, d)
			}
		}
		if !math.IsInf(least, 1) {
			near = append(near, least)
		}
	}
	if len(near) == 0 {
		return 0
	}
	slices.Sort(near)
	return near[len(near)/2]
}
