package source

import "lampwright/report"

// PathAt gives the path of the smallest key or list item whose bytes hold a place, nil when the place lies in none.
func (f *File) PathAt(place report.Place) Path {
	at, ok := f.lines.offset(place.Line, max(place.Column, 1))
	if !ok {
		return nil
	}
	var path Path
	for n := f.root; ; {
		step, child := n.holding(at)
		if child == nil {
			return path
		}
		path = append(path, step)
		n = child
	}
}

// holding gives the child whose bytes hold an offset, with its step; a key belongs to its value.
func (n *node) holding(at int) (string, *node) {
	for _, e := range n.entries {
		if at >= e.key.start && at <= e.end() {
			return e.key.text, e.value
		}
	}
	for i, it := range n.items {
		if at >= it.dash && at <= it.end() {
			return Index(i), it.value
		}
	}
	return "", nil
}
