package source

// Tree gives the whole document for showing: a mapping is Fields in its order, a list a slice, a single value its text as it means
// (unquoted), and nothing nil. Every value keeps the form in which it is written; numbers are no exception.
func (f *File) Tree() any { return f.root.tree() }

func (n *node) tree() any {
	switch n.kind {
	case Scalar:
		return n.text
	case List:
		items := make([]any, len(n.items))
		for i, it := range n.items {
			items[i] = it.value.tree()
		}
		return items
	case Mapping:
		fields := make(Fields, len(n.entries))
		for i, e := range n.entries {
			fields[i] = Field{e.key.text, e.value.tree()}
		}
		return fields
	}
	return nil
}
