package source

import (
	"fmt"
	"strings"

	"lampwright/report"
)

// Op is a kind of edit.
type Op string

// Kinds of edits.
const (
	OpSet    Op = "set"    // the value at Path becomes Value; a missing last key is added
	OpInsert Op = "insert" // Key with Value is added to the mapping at Path, after the key After or at its end
	OpRename Op = "rename" // the key that Path leads to becomes Key
	OpDelete Op = "delete" // the key or item that Path leads to goes away
	OpMove   Op = "move"   // the list item that Path leads to takes the place Index; the others close up
	OpAdd    Op = "add"    // Value is added to the list at Path, before Index; at its end when Index is its length or -1
)

// Edit is one change of a text, as data.
type Edit struct {
	Op    Op     `json:"op"`
	Path  Path   `json:"path"`
	Key   string `json:"key,omitempty"`
	After string `json:"after,omitempty"`
	Index int    `json:"index,omitempty"`
	Value any    `json:"value,omitempty"` // see the kinds below
}

// Values of edits are strings, bools, whole numbers, float64s, anything that
// marshals to text (such as the quantities of package units), Fields, slices
// of these, or Below.

// Set makes the value at a path another one, adding the last key if it is missing.
func Set(path Path, value any) Edit { return Edit{Op: OpSet, Path: path, Value: value} }

// Insert adds a key at the end of the mapping at a path.
func Insert(path Path, key string, value any) Edit {
	return Edit{Op: OpInsert, Path: path, Key: key, Value: value}
}

// InsertAfter adds a key behind another one of the mapping at a path.
func InsertAfter(path Path, after, key string, value any) Edit {
	return Edit{Op: OpInsert, Path: path, Key: key, After: after, Value: value}
}

// Rename changes the key that a path leads to. Uses of the name stay.
func Rename(path Path, key string) Edit { return Edit{Op: OpRename, Path: path, Key: key} }

// Delete removes the key or the list item that a path leads to. Comments on
// lines of their own stay.
func Delete(path Path) Edit { return Edit{Op: OpDelete, Path: path} }

// Append adds an item at the end of the list at a path.
func Append(path Path, value any) Edit { return Edit{Op: OpAdd, Path: path, Index: -1, Value: value} }

// Move brings the list item that a path leads to to another place of its list, with its comments.
func Move(path Path, to int) Edit { return Edit{Op: OpMove, Path: path, Index: to} }

// AddBefore adds an item before the one at an index of the list at a path.
func AddBefore(path Path, index int, value any) Edit {
	return Edit{Op: OpAdd, Path: path, Index: index, Value: value}
}

// Apply makes edits one after another and gives the new file. Only lines that
// an edit touches change. On failure the file is nil and the list says why; f
// itself never changes.
func (f *File) Apply(edits ...Edit) (*File, report.List) {
	for len(edits) > 0 {
		n := apart(edits)
		if n > 1 {
			if next := f.together(edits[:n]); next != nil {
				f, edits = next, edits[n:]
				continue
			}
		}
		for _, e := range edits[:n] {
			next, fault := f.apply(e)
			if next == nil {
				return nil, f.Finish(report.List{fault})
			}
			f = next
		}
		edits = edits[n:]
	}
	return f, nil
}

// renamed gives a mapping with another key at an index.
func (n *node) renamed(index int, key string) *node {
	next := *n
	next.entries = append([]entry{}, n.entries...)
	next.entries[index].key = writeKey(key).node
	return &next
}

// refusal is why an edit cannot be made.
type refusal struct {
	at     *node // nil = the whole file
	reason string
}

func (f *File) apply(e Edit) (*File, report.Diagnostic) {
	cuts, meant, no := f.plan(e)
	if no == nil {
		text := f.lines.cut(cuts)
		next, list := f.Reparse([]byte(text))
		if next != nil && same(next.root, meant) {
			return next, report.Diagnostic{}
		}
		// The cut is right for the forms of YAML that are usual; for one that
		// it does not foresee the text stays as it was.
		no = &refusal{reason: "the text around it is written in a way that cannot be changed safely"}
		if next == nil && len(list) > 0 {
			no.reason += " (" + list[0].Text + ")"
		}
	}
	place := report.Place{File: f.Name}
	if no.at != nil {
		place = f.place(no.at)
	}
	return nil, report.Errorf("edit", place, "%s cannot be changed: %s", show(e.Path.String()), no.reason).
		Do("change the text by hand, or undo and try another way")
}

// plan gives the cuts of an edit and the tree that must come of them.
func (f *File) plan(e Edit) ([]cut, *node, *refusal) {
	value, parent, index, taken := f.root.follow(e.Path)
	adding := e.Op == OpSet && taken == len(e.Path)-1 && (value.kind == Mapping || value.kind == Nothing)
	if adding {
		e = Edit{Op: OpInsert, Path: e.Path[:taken], Key: e.Path[taken], Value: e.Value}
	} else if taken < len(e.Path) {
		return nil, nil, &refusal{value, fmt.Sprintf("it leads nowhere after %s", show(e.Path[:taken].String()))}
	}
	switch e.Op {
	case OpSet, OpDelete, OpRename, OpMove:
		if parent == nil {
			return nil, nil, &refusal{nil, "it is the whole document"}
		}
	}
	s := slot{f, parent, index}
	switch e.Op {
	case OpSet:
		w, err := write(e.Value)
		if err != nil {
			return nil, nil, &refusal{value, err.Error()}
		}
		return s.set(w), f.root.replaced(e.Path, func(*node) *node { return w.node }), nil
	case OpMove:
		return f.planMove(e)
	case OpInsert:
		return f.planInsert(e, value, s)
	case OpAdd:
		return f.planAdd(e, value, s)
	case OpDelete:
		return s.remove(), f.root.replaced(e.Path[:len(e.Path)-1], func(n *node) *node { return n.without(index) }), nil
	case OpRename:
		if parent.kind != Mapping {
			return nil, nil, &refusal{value, "a list item has no name"}
		}
		if at := parent.find(e.Key); at >= 0 && at != index {
			return nil, nil, &refusal{parent.entries[at].key, "the key " + show(e.Key) + " is there already"}
		}
		w := writeKey(e.Key)
		key := parent.entries[index].key
		return []cut{{key.start, key.end, w.text}}, f.root.replaced(e.Path[:len(e.Path)-1], func(n *node) *node { return n.renamed(index, e.Key) }), nil
	}
	return nil, nil, &refusal{nil, fmt.Sprintf("there is no kind of edit %q", e.Op)}
}

func (f *File) planInsert(e Edit, into *node, s slot) ([]cut, *node, *refusal) {
	w, err := write(e.Value)
	if err != nil {
		return nil, nil, &refusal{into, err.Error()}
	}
	key := writeKey(e.Key)
	added := entry{key: key.node, value: w.node}
	switch into.kind {
	case Nothing:
		if s.parent == nil {
			return nil, nil, &refusal{nil, "the document is empty"}
		}
		whole := written{text: "{" + key.text + ": " + w.text + "}", node: &node{kind: Mapping, flow: true, entries: []entry{added}}}
		return s.set(whole), f.root.replaced(e.Path, func(*node) *node { return whole.node }), nil
	case Mapping:
	default:
		return nil, nil, &refusal{into, "there are no keys, but " + into.kind.String()}
	}
	if into.find(e.Key) >= 0 {
		return nil, nil, &refusal{into.entries[into.find(e.Key)].key, "the key " + show(e.Key) + " is there already"}
	}
	after := len(into.entries) - 1
	if e.After != "" {
		if after = into.find(e.After); after < 0 {
			return nil, nil, &refusal{into, "there is no key " + show(e.After) + " to put it behind"}
		}
	}
	meant := f.root.replaced(e.Path, func(n *node) *node {
		next := *n
		next.entries = append(append(append([]entry{}, n.entries[:after+1]...), added), n.entries[after+1:]...)
		return &next
	})
	text := key.text + ": " + w.text
	if !into.flow {
		text = strings.ReplaceAll(w.behind(key.text), "\n", "\n"+f.lines.column(into.start))
	}
	return f.insertEntry(into, after, text), meant, nil
}

func (f *File) planAdd(e Edit, into *node, s slot) ([]cut, *node, *refusal) {
	w, err := write(e.Value)
	if err != nil {
		return nil, nil, &refusal{into, err.Error()}
	}
	if into.kind == Nothing && s.parent != nil && e.Index <= 0 {
		whole := written{text: "[" + w.text + "]", node: &node{kind: List, flow: true, items: []item{{value: w.node}}}}
		return s.set(whole), f.root.replaced(e.Path, func(*node) *node { return whole.node }), nil
	}
	if into.kind != List {
		return nil, nil, &refusal{into, "there is no list, but " + into.kind.String()}
	}
	index := e.Index
	if index == -1 {
		index = len(into.items)
	}
	if index < 0 || index > len(into.items) {
		return nil, nil, &refusal{into, fmt.Sprintf("the list has %d items, and there is no place %d in it", len(into.items), e.Index)}
	}
	meant := f.root.replaced(e.Path, func(n *node) *node {
		next := *n
		next.items = append(append(append([]item{}, n.items[:index]...), item{value: w.node}), n.items[index:]...)
		return &next
	})
	text := w.text
	if !into.flow {
		text = w.asItem()
	}
	return f.insertItem(into, index, text), meant, nil
}

// without gives a copy that lacks one child.
func (n *node) without(index int) *node {
	next := *n
	if n.kind == Mapping {
		next.entries = append(append([]entry{}, n.entries[:index]...), n.entries[index+1:]...)
	} else {
		next.items = append(append([]item{}, n.items[:index]...), n.items[index+1:]...)
	}
	return &next
}
