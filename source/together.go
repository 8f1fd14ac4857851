package source

import "slices"

// apart counts the edits in front, at least one, that stand so far apart that their order is nothing to them: new values for values
// that are there, and new names for keys, none within another.
func apart(edits []Edit) int {
	var before []Path
	for n, e := range edits {
		if e.Op != OpSet && e.Op != OpRename || len(e.Path) == 0 {
			return max(n, 1)
		}
		reach := []Path{e.Path}
		if e.Op == OpRename {
			reach = append(reach, e.Path[:len(e.Path)-1].With(e.Key))
		}
		for _, p := range reach {
			for _, q := range before {
				if within(p, q) || within(q, p) {
					return n
				}
			}
		}
		before = append(before, reach...)
	}
	return len(edits)
}

// within tells whether a path leads to a value or to something in it.
func within(p, of Path) bool { return len(p) >= len(of) && slices.Equal(p[:len(of)], of) }

// together makes edits that stand apart in one cut, so that the text is parsed once; nil when that cannot be done, or would not
// come out as the edits mean it.
func (f *File) together(edits []Edit) *File {
	var cuts []cut
	meant := f.root
	for _, e := range edits {
		_, parent, index, taken := f.root.follow(e.Path)
		if taken < len(e.Path) {
			return nil
		}
		own, _, no := f.plan(e)
		if no != nil {
			return nil
		}
		cuts = append(cuts, own...)
		if e.Op == OpSet {
			w, _ := write(e.Value) // it could be written a moment ago
			meant = meant.replaced(e.Path, func(*node) *node { return w.node })
			continue
		}
		holder, _, _, _ := meant.follow(e.Path[:len(e.Path)-1])
		if holder.find(e.Key) >= 0 && parent.entries[index].key.text != e.Key {
			return nil
		}
		meant = meant.replaced(e.Path[:len(e.Path)-1], func(n *node) *node { return n.renamed(index, e.Key) })
	}
	slices.SortStableFunc(cuts, func(a, b cut) int { return a.from - b.from })
	for i := 1; i < len(cuts); i++ {
		if cuts[i].from < cuts[i-1].to || cuts[i].from == cuts[i-1].from {
			return nil
		}
	}
	next, _ := f.Reparse([]byte(f.lines.cut(cuts)))
	if next == nil || !same(next.root, meant) {
		return nil
	}
	return next
}
