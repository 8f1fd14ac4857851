package source

// What has been read once is taken into another file by these; the old nodes never change.

// moved gives a value as it stands that many bytes further on.
func (n *node) moved(by int) *node {
	if by == 0 {
		return n
	}
	next := *n
	next.start, next.end = n.start+by, n.end+by
	next.entries = movedEntries(n.entries, by)
	next.items = movedItems(n.items, by)
	return &next
}

func movedEntries(entries []entry, by int) []entry {
	if len(entries) == 0 || by == 0 {
		return entries
	}
	next := make([]entry, len(entries))
	for i, e := range entries {
		next[i] = entry{e.key.moved(by), e.colon + by, e.value.moved(by)}
	}
	return next
}

func movedItems(items []item, by int) []item {
	if len(items) == 0 || by == 0 {
		return items
	}
	next := make([]item, len(items))
	for i, it := range items {
		next[i] = item{it.dash + by, it.value.moved(by)}
	}
	return next
}

// spliced gives a mapping or list outside brackets with others in the place of its children lo..hi; those behind have moved.
func (n *node) spliced(lo, hi int, others *node, by int) *node {
	next := *n
	if n.kind == Mapping {
		next.entries = append(append(append([]entry{}, n.entries[:lo]...), others.entries...), movedEntries(n.entries[hi+1:], by)...)
		next.start, next.end = next.entries[0].key.start, next.entries[len(next.entries)-1].end()
	} else {
		next.items = append(append(append([]item{}, n.items[:lo]...), others.items...), movedItems(n.items[hi+1:], by)...)
		next.start, next.end = next.items[0].dash, next.items[len(next.items)-1].end()
	}
	return &next
}

// alone gives a mapping or list of nothing but the child at an index, with another value.
func (n *node) alone(index int, value *node) *node {
	if n.kind == Mapping {
		e := n.entries[index]
		return &node{kind: Mapping, entries: []entry{{e.key, e.colon, value}}}
	}
	return &node{kind: List, items: []item{{n.items[index].dash, value}}}
}

// before gives a mapping or list without its last child, which begins at an offset; nil when it does not, or is the only one.
func (n *node) before(offset int) *node {
	next := *n
	switch last := n.count() - 1; {
	case n.flow || last < 1:
		return nil
	case n.kind == Mapping && n.entries[last].key.start == offset:
		next.entries = n.entries[:last]
	case n.kind == List && n.items[last].dash == offset:
		next.items = n.items[:last]
	default:
		return nil
	}
	return &next
}
