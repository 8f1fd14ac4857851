package session

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"lampwright/parts"
	"lampwright/source"
)

// putParts gives the edits that bring the definitions of parts along with patterns, and writes into the patterns the names that the parts
// have in the job. A part that the job has just so already is that one; under a name that means something else there, the catalogue's
// included, it comes in under a free one.
func putParts(tree any, patterns []any, brought source.Fields) []source.Edit {
	value, there := at(tree, source.Path{"parts"})
	own, mapped := value.(source.Fields)
	taken := freeNames{"note": true}
	for _, f := range own {
		taken[f.Key] = true
	}
	for _, name := range parts.Names() {
		taken[name] = true
	}
	names := map[string]string{} // as brought, as in the job
	var fresh source.Fields
	for _, p := range patterns {
		one := p.(source.Fields)[0]
		body := one.Value.(source.Fields)
		for i, f := range body {
			name, _ := f.Value.(string)
			definition := get(brought, name)
			if f.Key != "part" || definition == nil {
				continue
			}
			if _, known := names[name]; !known {
				if names[name] = samePart(own, name, definition); names[name] == "" {
					names[name] = name
					if taken[name] {
						names[name] = taken.numbered(name, 2) // a number at its end is a wavelength, and not to be counted on
					}
					taken[names[name]] = true
					fresh = append(fresh, source.Field{Key: names[name], Value: plainly(definition)})
				}
			}
			body[i].Value = names[name]
		}
	}
	switch {
	case len(fresh) == 0:
		return nil
	case !there:
		return []source.Edit{source.Set(source.Path{"parts"}, source.Below{Value: fresh})}
	case value == nil || mapped && len(own) == 0: // anything else there is not to be lost
		return []source.Edit{source.Set(source.Path{"parts"}, fresh)}
	}
	var edits []source.Edit
	for _, f := range fresh {
		edits = append(edits, source.Set(source.Path{"parts", f.Key}, f.Value))
	}
	return edits
}

// samePart finds the part of a job that is what a definition says: under its name, or under that name with a number, as it came in before.
// "" when there is none. The job's own parts go before the catalogue's.
func samePart(own source.Fields, name string, definition any) string {
	if have := get(own, name); have != nil {
		if alike(have, definition) {
			return name
		}
	} else if p, known := parts.Find(name); known && alike(source.Fields{{Key: "colour", Value: p.Colour}}, definition) {
		return name
	}
	for _, f := range own {
		if end, is := strings.CutPrefix(f.Key, name+"-"); is && alike(f.Value, definition) {
			if _, err := strconv.Atoi(end); err == nil {
				return f.Key
			}
		}
	}
	return ""
}

// alike tells whether two values say the same, in whatever order their keys stand.
func alike(a, b any) bool {
	x, is := a.(source.Fields)
	y, both := b.(source.Fields)
	if !is || !both {
		return reflect.DeepEqual(a, b)
	}
	return len(x) == len(y) && !slices.ContainsFunc(x, func(f source.Field) bool { return !alike(f.Value, get(y, f.Key)) })
}
