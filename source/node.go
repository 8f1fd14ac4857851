package source

import "lampwright/report"

// Kind is what a value looks like in the text.
type Kind int

const (
	Nothing Kind = iota // no value is written
	Scalar              // a text or a number
	List                // values in order
	Mapping             // keys with values
)

// String names the kind in the builder's words.
func (k Kind) String() string {
	return [...]string{"nothing", "a single value", "a list", "keys with values"}[k]
}

// node is a value of the text with the bytes it occupies. Offsets count bytes
// of lines.text.
type node struct {
	kind       Kind
	text       string // of a scalar, unquoted
	style      byte   // of a scalar: ' or " when quoted, | or > for a block text, else 0
	flow       bool   // of a list or mapping: written in brackets
	start, end int    // the value's own bytes; empty for nothing
	entries    []entry
	items      []item
}

// entry is one key of a mapping with its value.
type entry struct {
	key   *node
	colon int // offset after the colon, or after the key where a colon is missing
	value *node
}

// item is one value of a list.
type item struct {
	dash  int // offset of the dash of a block list, or of the value in brackets
	value *node
}

// end of the bytes that an entry occupies.
func (e entry) end() int { return max(e.colon, e.value.end) }

// end of the bytes that an item occupies.
func (i item) end() int { return max(i.dash, i.value.end) }

// count gives how many children a value has.
func (n *node) count() int { return len(n.entries) + len(n.items) }

// find gives the index of a key, or -1.
func (n *node) find(key string) int {
	for i, e := range n.entries {
		if e.key.text == key {
			return i
		}
	}
	return -1
}

// same tells whether two values mean the same: kinds, texts, keys and order.
// A quoted text and the same text without quotes are the same, unless the bare
// one would mean that nothing is written.
func same(a, b *node) bool {
	if a.kind != b.kind || a.text != b.text || len(a.entries) != len(b.entries) || len(a.items) != len(b.items) {
		return false
	}
	for i := range a.entries {
		if a.entries[i].key.text != b.entries[i].key.text || !same(a.entries[i].value, b.entries[i].value) {
			return false
		}
	}
	for i := range a.items {
		if !same(a.items[i].value, b.items[i].value) {
			return false
		}
	}
	return true
}

// File is a text that has been read as YAML. It does not change; edits give a
// new one.
type File struct {
	Name   string // for messages; need not be a path
	lines  lines
	tokens []piece
	root   *node
}

// Text gives the whole text as read, with its own line ends.
func (f *File) Text() []byte { return []byte(f.lines.original) }

// Kind tells what the whole document is.
func (f *File) Kind() Kind { return f.root.kind }

// Top gives the scalar under a key of the outermost mapping, its place, and
// whether there is one. It is for what must be known before decoding, such as
// a version.
func (f *File) Top(key string) (text string, place report.Place, ok bool) {
	i := f.root.find(key)
	if i < 0 || f.root.entries[i].value.kind != Scalar {
		return "", report.Place{}, false
	}
	value := f.root.entries[i].value
	return value.text, f.lines.place(f.Name, value.start, value.end), true
}

// place of a node.
func (f *File) place(n *node) report.Place { return f.lines.place(f.Name, n.start, n.end) }
