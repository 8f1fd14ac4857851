package session

import (
	"slices"
	"strconv"
	"strings"

	"lampwright/source"
)

// written pattern of a lamp, as it stands in the tree.
type treePattern struct {
	kind string // led, row, grid ...
	body source.Fields
}

func (p treePattern) text(key string) string {
	text, _ := get(p.body, key).(string)
	return text
}

// block is the name under which the LEDs of the pattern are found.
func (p treePattern) block() string {
	if group := p.text("group"); p.kind == "led" && group != "" {
		return group
	}
	return p.text("name")
}

// patternsOf lists the patterns of a lamp; one that cannot be understood is there without a kind.
func patternsOf(lamp source.Fields) []treePattern {
	items, _ := get(lamp, "leds").([]any)
	all := make([]treePattern, len(items))
	for i, item := range items {
		if one, ok := item.(source.Fields); ok && len(one) == 1 {
			all[i].kind = one[0].Key
			all[i].body, _ = one[0].Value.(source.Fields)
		}
	}
	return all
}

// names gives out names that nothing in a lamp has yet.
type freeNames map[string]bool

// takenIn lists every name that a new pattern of a lamp may not have: those of patterns, LEDs, groups and zones.
func takenIn(lamp source.Fields) freeNames {
	taken := freeNames{}
	for _, p := range patternsOf(lamp) {
		taken[p.text("name")], taken[p.block()] = true, true
	}
	zones, _ := get(lamp, "zones").(source.Fields)
	for _, z := range zones {
		taken[z.Key] = true
	}
	return taken
}

// free gives a name as wished, or the next one with a number behind it.
func (taken freeNames) free(wish string) string {
	name := wish
	if taken[name] {
		stem, from := wish, 1
		if i := strings.LastIndexByte(wish, '-'); i > 0 {
			if n, err := strconv.Atoi(wish[i+1:]); err == nil && n > 0 && n < 1e6 {
				stem, from = wish[:i], n
			}
		}
		name = taken.numbered(stem, from+1)
	}
	taken[name] = true
	return name
}

// numbered gives the first free name of a word with a number behind it, counted from a number on. A word that leaves no room for the
// number loses its end.
func (taken freeNames) numbered(word string, from int) string {
	for n := from; ; n++ {
		end := "-" + strconv.Itoa(n)
		name := strings.TrimRight(word[:min(len(word), source.NameLimitRunes-len(end))], "-") + end
		if !taken[name] {
			taken[name] = true
			return name
		}
	}
}

// addPatterns gives the edits that put patterns at the end of a lamp's list, which is begun where there is none.
func addPatterns(path source.Path, lamp source.Fields, patterns []any) []source.Edit {
	if len(list(get(lamp, "leds"))) == 0 {
		if get(lamp, "leds") == nil && !slices.ContainsFunc(lamp, func(f source.Field) bool { return f.Key == "leds" }) {
			return []source.Edit{source.Set(path.With("leds"), source.Below{Value: patterns})}
		}
		return []source.Edit{source.Set(path.With("leds"), patterns)}
	}
	edits := make([]source.Edit, len(patterns))
	for i, p := range patterns {
		edits[i] = source.Append(path.With("leds"), p)
	}
	return edits
}
