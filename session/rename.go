package session

import (
	"encoding/json"
	"slices"
	"strings"

	"lampwright/report"
	"lampwright/source"
)

// A name is written where the thing is made and wherever it is used. Renaming changes all of these in one step.

// naming says where the names of one kind of thing stand. A path is matched step by step; * is any step, and a step * at the end of
// a path of uses also matches the value itself when it is no list.
type naming struct {
	made  []string // mappings whose keys, or values, are the names
	uses  []string // values that are such a name
	alone []string // values that may be such a name alone, or more
	heads []string // values that begin with such a name and a full stop
	words []string // values that are regions: the name may be any of their words
}

// Regions are what takes light or gives it, and what a lamp is divided into.
var lights = []string{"signals.*.*.takes.*", "shows.*.*.takes.*", "routines.*.strokes.*.*.on.*"}

var regions = append(slices.Clone(lights),
	"lamps.*.zones.*.with.*", "lamps.*.zones.*.without.*", "lamps.*.zones.*", "lamps.*.zones.*.*", "lamps.*.functions.*.zone.*")

var namings = map[string]naming{
	"lamp":   {made: []string{"lamps.*"}, uses: []string{"lamps.*.opposite-hand-of", "modules.*.lamp", "routines.*.across.*"}, heads: regions},
	"module": {made: []string{"modules.*"}, uses: []string{"modules.*.same-image-as"}, heads: []string{"inputs.*.wire.*", "outages.*.*.on"}},
	"input": {made: []string{"inputs.*"}, uses: []string{"signals.*.*.input", "shows.*.*.input", "signals.*.*.not-while.*", "signals.*.*.only-while.*", "shows.*.*.not-while.*",
		"shows.*.*.only-while.*", "inputs.*.shares", "inputs.*.carries-stop.reference", "outages.*.*.input", "outages.*.*.sense", "modules.*.fed.also.*", "modules.*.fed.only"}},
	"routine": {made: []string{"routines.*"}, uses: []string{"signals.*.*.arrive", "signals.*.*.stay", "signals.*.*.leave", "shows.*.*.arrive", "shows.*.*.stay", "shows.*.*.leave",
		"routines.*.strokes.*.call.routine"}},
	"part":   {made: []string{"parts.*"}, uses: []string{"lamps.*.leds.*.*.part"}},
	"path":   {made: []string{"lamps.*.paths.*"}, uses: []string{"routines.*.strokes.*.*.along"}},
	"zone":   {made: []string{"lamps.*.zones.*", "modules.*.wiring.*"}, uses: []string{"lamps.*.leds.*.*.name", "lamps.*.leds.*.*.group"}, words: regions},
	"signal": {made: []string{"signals.*.*"}},
	"show":   {made: []string{"shows.*.*"}},
}

var _ = enter(Command{
	Name: "rename", Says: "give a thing another name, wherever it is written",
	Args: map[string]string{"kind": "lamp, module, input, routine, part, path, zone (also a pattern or an LED), signal or show", "from": "its name", "to": "the new one"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct{ Kind, From, To string }
		if faults := arguments("rename", raw, &a); faults != nil {
			return "", nil, faults
		}
		where, known := namings[a.Kind]
		if !known {
			return "", nil, refuse("use one of: "+strings.Join(slices.Sorted(keysOf(namings)), ", "), "there is no kind of thing called %q", a.Kind)
		}
		if problem := source.NameProblem(a.To); problem != "" {
			return "", nil, refuse("use "+source.NameExpected, "%q cannot be a name: %s", a.To, problem)
		}
		drawn := namedIn(s.File.Tree())
		if a.Kind == "lamp" && !drawn.region(a.From) {
			where.alone = lights // there a lamp's name alone is the whole lamp, unless a zone is called so
		}
		r := renaming{naming: where, from: a.From, to: a.To}
		r.walk(s.File.Tree(), nil)
		switch {
		case r.taken:
			return "", nil, refuse("choose another name", "there is a %s called %q already", a.Kind, a.To)
		case !r.found:
			return "", nil, refuse("choose one that the job has", "there is no %s called %q", a.Kind, a.From)
		case r.whole && drawn.region(a.To):
			return "", nil, refuse("choose another name", "something on a lamp is called %q, and what takes the whole of %q would take that", a.To, a.From)
		}
		return "rename " + a.From + " to " + a.To, append(r.values, r.keys...), nil
	},
})

func keysOf[V any](m map[string]V) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// renaming walks a document and collects the edits; those of keys come last and the deepest first, for they change paths.
type renaming struct {
	naming
	from, to     string
	found, taken bool
	whole        bool // the lamp is named alone somewhere
	values, keys []source.Edit
}

func (r *renaming) walk(value any, path source.Path) {
	switch v := value.(type) {
	case source.Fields:
		for _, f := range v {
			at := path.With(f.Key)
			r.walk(f.Value, at)
			if among(r.made, at) {
				r.taken = r.taken || f.Key == r.to
				if f.Key == r.from {
					r.found = true
					r.keys = append(r.keys, source.Rename(at, r.to))
				}
			}
		}
	case []any:
		for i, item := range v {
			r.walk(item, path.With(source.Index(i)))
		}
	case string:
		if next, changed := r.value(v, path); changed {
			r.values = append(r.values, source.Set(path, next))
		}
	}
}

// value gives what a text becomes.
func (r *renaming) value(text string, path source.Path) (next string, changed bool) {
	if among(r.uses, path) {
		if r.defines(path) {
			r.taken = r.taken || text == r.to
			r.found = r.found || text == r.from
		}
		return r.to, text == r.from
	}
	if text == r.from && among(r.alone, path) {
		r.whole = true
		return r.to, true
	}
	if rest, headed := strings.CutPrefix(text, r.from+"."); headed && among(r.heads, path) {
		return r.to + "." + rest, true
	}
	if among(r.words, path) {
		words := strings.Split(text, ".")
		for i, w := range words {
			if w == r.from {
				words[i], changed = r.to, true
			}
		}
		return strings.Join(words, "."), changed
	}
	return "", false
}

// defines tells whether a use is where the thing is made: a pattern is made by its name.
func (r *renaming) defines(path source.Path) bool {
	return len(path) == 6 && path[0] == "lamps" && path[2] == "leds" && path[5] == "name"
}

// among tells whether a path matches one of several. A list's items and a value in place of the list match the same pattern.
func among(patterns []string, path source.Path) bool {
	for _, p := range patterns {
		steps := strings.Split(p, ".")
		if matches(steps, path) || steps[len(steps)-1] == "*" && len(steps) > 2 && matches(steps[:len(steps)-1], path) && !mapping(steps) {
			return true
		}
	}
	return false
}

// mapping tells whether the last step of a pattern stands for keys: those end where things are made.
func mapping(steps []string) bool {
	switch steps[len(steps)-2] {
	case "zones", "paths", "wiring", "lamps", "modules", "inputs", "routines", "parts", "*":
		return true
	}
	return false
}

func matches(steps []string, path source.Path) bool {
	if len(steps) != len(path) {
		return false
	}
	for i, s := range steps {
		if s != "*" && s != path[i] {
			return false
		}
	}
	return true
}
