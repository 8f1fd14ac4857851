package session

import (
	"slices"
	"strings"

	"lampwright/job"
	"lampwright/parts"
	"lampwright/source"
)

// Loose is a place of a document that still names what a step took away.
type Loose struct {
	Name string      `json:"name"` // what is gone
	Path source.Path `json:"path"` // of the place that names it
	Says string      `json:"says"` // the place in words
}

// LooseEnds lists the places that name what was there before a step and is not there after it, in the order of the document. What named
// nothing before is not told again, and neither is a name that still means something, such as a pattern's that another lamp has too.
func LooseEnds(before, after *source.File) []Loose {
	if before == nil || after == nil {
		return nil
	}
	had, has := namedIn(before.Tree()), namedIn(after.Tree())
	if !had.lost(has) {
		return nil
	}
	l := loosening{tree: after.Tree(), had: had, has: has}
	l.walk(l.tree, nil)
	return l.ends
}

// namesOf is what a document gives names to.
type namesOf struct {
	kinds   map[string]map[string]bool // lamp, module, input, routine, part and path: their names
	regions map[string]map[string]bool // of each lamp that is drawn: its zones, and what its LEDs are found under
}

var looseKinds = []string{"lamp", "module", "input", "routine", "part", "path"}

func namedIn(tree any) namesOf {
	n := namesOf{map[string]map[string]bool{}, map[string]map[string]bool{}}
	fields := func(value any, path ...string) source.Fields {
		value, _ = at(value, path)
		f, _ := value.(source.Fields)
		return slices.DeleteFunc(slices.Clone(f), func(f source.Field) bool { return f.Key == "note" })
	}
	for _, kind := range looseKinds {
		n.kinds[kind] = map[string]bool{}
		for _, f := range fields(tree, kind+"s") {
			n.kinds[kind][f.Key] = true
		}
	}
	for _, l := range fields(tree, "lamps") {
		for _, p := range fields(l.Value, "paths") {
			n.kinds["path"][p.Key] = true
		}
		if lamp, _ := l.Value.(source.Fields); get(lamp, "opposite-hand-of") == nil {
			n.regions[l.Key] = takenIn(lamp)
		}
	}
	return n
}

// lost tells whether a name is among those that were and not among those that are.
func (had namesOf) lost(has namesOf) bool {
	for _, all := range [][2]map[string]map[string]bool{{had.kinds, has.kinds}, {had.regions, has.regions}} {
		for of, names := range all[0] {
			for name := range names {
				if !all[1][of][name] {
					return true
				}
			}
		}
	}
	return false
}

// region tells whether a lamp has something of a name.
func (n namesOf) region(name string) bool {
	for _, names := range n.regions {
		if names[name] {
			return true
		}
	}
	return false
}

type loosening struct {
	tree     any
	had, has namesOf
	ends     []Loose
}

func (l *loosening) walk(value any, path source.Path) {
	switch v := value.(type) {
	case source.Fields:
		for _, f := range v {
			to := path.With(f.Key)
			if len(to) == 4 && to[0] == "modules" && to[2] == "wiring" {
				lamp, _ := at(l.tree, source.Path{"modules", to[1], "lamp"})
				if name, _ := lamp.(string); l.regionGone(l.drawn(name), f.Key) {
					l.add(f.Key, to)
				}
			}
			l.walk(f.Value, to)
		}
	case []any:
		for i, item := range v {
			l.walk(item, path.With(source.Index(i)))
		}
	case string:
		l.text(v, path)
	}
}

func (l *loosening) add(name string, path source.Path) {
	l.ends = append(l.ends, Loose{name, path, placeInWords(path)})
}

// text looks whether a value names what is gone.
func (l *loosening) text(text string, path source.Path) {
	for _, kind := range looseKinds {
		gone := func(name string) bool {
			_, listed := parts.Find(name)
			return l.had.kinds[kind][name] && !l.has.kinds[kind][name] && !(kind == "part" && listed)
		}
		head, _, headed := strings.Cut(text, ".")
		switch {
		case among(namings[kind].uses, path) && gone(text):
			l.add(text, path)
			return
		case headed && among(namings[kind].heads, path) && gone(head):
			l.add(head, path)
			return
		}
	}
	if !among(regions, path) {
		return
	}
	r, problem := job.ParseRegion(text)
	if problem != "" {
		return
	}
	name := r.Names[len(r.Names)-1]
	gone := false
	switch {
	case len(r.Names) == 2:
		gone = l.regionGone(l.drawn(r.Names[0]), name)
	case path[0] == "lamps":
		gone = l.regionGone(path[1], name)
	default: // a zone of any lamp, or a whole lamp
		gone = (l.had.region(name) || l.had.kinds["lamp"][name]) && !l.has.region(name) && !l.has.kinds["lamp"][name]
	}
	if gone {
		l.add(name, path)
	}
}

// regionGone tells whether a lamp that is still drawn has lost a name. Where the drawing itself is gone, its own name is told.
func (l *loosening) regionGone(lamp, name string) bool {
	names, drawn := l.has.regions[lamp]
	return drawn && l.had.regions[lamp][name] && !names[name]
}

// drawn gives the lamp on which another one is drawn, or itself.
func (l *loosening) drawn(lamp string) string {
	of, _ := at(l.tree, source.Path{"lamps", lamp, "opposite-hand-of"})
	if name, hand := of.(string); hand {
		return name
	}
	return lamp
}

// placeInWords says where a path leads to, as a person would: "signal stop, takes".
func placeInWords(path source.Path) string {
	words := slices.DeleteFunc(slices.Clone(path), func(step string) bool { return step == "strokes" })
	one := map[string]string{"signals": "signal", "shows": "show", "routines": "routine", "lamps": "lamp", "modules": "module", "inputs": "input", "outages": "outage",
		"zones": "zone", "functions": "function"}
	var out []string
	for i := 0; i < len(words); i++ {
		w := words[i]
		switch {
		case one[w] != "" && i+1 < len(words):
			i++
			if isIndex(words[i]) && i+1 < len(words) {
				i++
			}
			out = append(out, one[w]+" "+words[i])
		case isIndex(w):
		default:
			out = append(out, w)
		}
	}
	return strings.Join(out, ", ")
}

func isIndex(step string) bool { return step != "" && strings.Trim(step, "0123456789") == "" }
