package session

import (
	"fmt"
	"reflect"

	"lampwright/source"
)

// What asking for something writes: names that are free or mean the same, and sections that are begun where there are none.

// routine gives the name of a routine that is as wished: one that is there, or a new one.
func (q *asking) routine(name string, wish source.Fields) string {
	for n := 1; ; n++ {
		wanted := name
		if n > 1 {
			wanted = fmt.Sprintf("%s-%d", name, n)
		}
		there, taken := at(q.tree, source.Path{"routines", wanted})
		if !taken {
			q.put("routines", wanted, wish)
			return wanted
		}
		if reflect.DeepEqual(there, any(wish)) {
			return wanted
		}
	}
}

// free gives a name that no signal and no show has.
func (q *asking) free(wish string) string {
	taken := map[string]bool{}
	for _, section := range []string{"signals", "shows"} {
		for _, item := range list(q.section(section)) {
			name, _ := layerOf(item)
			taken[name] = true
		}
	}
	name := wish
	for n := 2; taken[name]; n++ {
		name = fmt.Sprintf("%s-%d", wish, n)
	}
	return name
}

func (q *asking) section(name string) any {
	value, _ := at(q.tree, source.Path{name})
	return value
}

// layerOf gives the name and the input of a signal or show as it is written, or "".
func layerOf(item any) (name, input string) {
	if f, ok := item.(source.Fields); ok && len(f) == 1 {
		body, _ := f[0].Value.(source.Fields)
		input, _ = get(body, "input").(string)
		return f[0].Key, input
	}
	return "", ""
}

// put adds an entry to a section, which is begun where there is none.
func (q *asking) put(section, key string, value source.Fields) {
	if there, _ := q.section(section).(source.Fields); len(there) > 0 {
		q.edits = append(q.edits, source.Insert(source.Path{section}, key, value))
		return
	}
	q.edits = append(q.edits, source.Set(source.Path{section}, source.Below{Value: source.Fields{{Key: key, Value: value}}}))
}

// add puts an item into a list, which is begun where there is none.
func (q *asking) add(section, name string, body source.Fields, before int) {
	item := source.Fields{{Key: name, Value: body}}
	switch n := len(list(q.section(section))); {
	case n == 0:
		q.edits = append(q.edits, source.Set(source.Path{section}, source.Below{Value: []any{item}}))
	case before == n:
		q.edits = append(q.edits, source.Append(source.Path{section}, item))
	default:
		q.edits = append(q.edits, source.AddBefore(source.Path{section}, before, item))
	}
}
