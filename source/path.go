package source

import (
	"strconv"
	"strings"
)

// Path leads from the whole document to a value: keys, and for list items
// their index from 0 in decimal digits.
type Path []string

// ParsePath reads a path with full stops between its steps, such as
// lamps.tail-lh.leds.0.row.count. Names hold no full stops, so this is safe.
func ParsePath(text string) Path {
	if text == "" {
		return nil
	}
	return strings.Split(text, ".")
}

// String gives the path with full stops between its steps.
func (p Path) String() string { return strings.Join(p, ".") }

// With gives a path that goes on by further steps.
func (p Path) With(steps ...string) Path {
	return append(append(Path{}, p...), steps...)
}

// Index gives the step to a list item.
func Index(i int) string { return strconv.Itoa(i) }

// step finds the index of a child, or -1.
func (n *node) step(step string) int {
	switch n.kind {
	case Mapping:
		return n.find(step)
	case List:
		if i, err := strconv.Atoi(step); err == nil && strconv.Itoa(i) == step && i >= 0 && i < len(n.items) {
			return i
		}
	}
	return -1
}

// child gives the value at an index.
func (n *node) child(i int) *node {
	if n.kind == Mapping {
		return n.entries[i].value
	}
	return n.items[i].value
}

// follow walks a path. It gives the value, its parent and its index there; the
// number of steps taken is less than the path's length when it leads nowhere.
func (n *node) follow(path Path) (value, parent *node, index, taken int) {
	value = n
	for _, step := range path {
		i := value.step(step)
		if i < 0 {
			return value, parent, index, taken
		}
		value, parent, index = value.child(i), value, i
		taken++
	}
	return value, parent, index, taken
}

// replaced gives a copy of n in which the value at path is what change makes
// of it. Everything else is shared.
func (n *node) replaced(path Path, change func(*node) *node) *node {
	if len(path) == 0 {
		return change(n)
	}
	i := n.step(path[0])
	next := *n
	if n.kind == Mapping {
		next.entries = append([]entry{}, n.entries...)
		next.entries[i].value = n.entries[i].value.replaced(path[1:], change)
	} else {
		next.items = append([]item{}, n.items...)
		next.items[i].value = n.items[i].value.replaced(path[1:], change)
	}
	return &next
}
