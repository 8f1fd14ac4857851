package source

import (
	"fmt"
	"slices"
	"strings"
)

// planMove gives the cuts that bring a list item to another place: the items between give their places to one another, each with
// the comments on its lines and those directly above it.
func (f *File) planMove(e Edit) ([]cut, *node, *refusal) {
	_, list, from, _ := f.root.follow(e.Path)
	if list.kind != List {
		return nil, nil, &refusal{list, "only an item of a list has a place"}
	}
	to := e.Index
	if to < 0 || to >= len(list.items) {
		return nil, nil, &refusal{list, fmt.Sprintf("the list has %d items, and there is no place %d in it", len(list.items), to)}
	}
	order := make([]int, len(list.items)) // which item stands at each place afterwards
	for i := range order {
		order[i] = i
	}
	order = slices.Insert(slices.Delete(order, from, from+1), to, from)
	var cuts []cut
	for place, i := range order {
		if place == i {
			continue
		}
		start, end := f.itemBytes(list, place)
		itemStart, itemEnd := f.itemBytes(list, i)
		cuts = append(cuts, cut{start, end, f.lines.text[itemStart:itemEnd]})
	}
	meant := f.root.replaced(e.Path[:len(e.Path)-1], func(n *node) *node {
		next := *n
		next.items = make([]item, len(order))
		for place, i := range order {
			next.items[place] = n.items[i]
		}
		return &next
	})
	return cuts, meant, nil
}

// itemBytes gives the bytes that go with an item: its value in brackets; else its lines whole, with the comments directly above.
func (f *File) itemBytes(list *node, index int) (start, end int) {
	s := slot{f, list, index}
	start, _, end = s.bounds()
	l := &f.lines
	if list.flow || !l.blankBefore(start) {
		return start, end
	}
	line := l.lineOf(start)
	for line > 0 && line-1 > l.lineOf(list.start) && strings.HasPrefix(strings.TrimSpace(l.text[l.starts[line-1]:l.lineEndAt(line-1)]), "#") {
		line--
	}
	return l.starts[line], l.lineEndAt(l.lineOf(end))
}
