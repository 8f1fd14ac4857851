package source

import (
	"sort"
	"strings"

	"github.com/goccy/go-yaml/token"
)

// cut replaces the bytes from..to-1 of the text.
type cut struct {
	from, to int
	text     string
}

// cut applies cuts to the original text. New line ends are those of the file.
func (l *lines) cut(cuts []cut) string {
	sort.SliceStable(cuts, func(i, j int) bool { return cuts[i].from < cuts[j].from })
	var b strings.Builder
	at := 0
	for _, c := range cuts {
		from, to := l.inOriginal(c.from), l.inOriginal(c.to)
		b.WriteString(l.original[at:max(at, from)])
		b.WriteString(strings.ReplaceAll(c.text, "\n", l.lineEnd))
		at = max(at, to)
	}
	b.WriteString(l.original[at:])
	return b.String()
}

// slot is where a value stands: a key of a mapping or an item of a list.
type slot struct {
	file   *File
	parent *node
	index  int
}

// bounds gives the bytes of the whole slot, and where its value would begin:
// after the colon, after the dash, or at the item in brackets.
func (s slot) bounds() (start, after, end int) {
	if s.parent.kind == Mapping {
		e := s.parent.entries[s.index]
		return e.key.start, e.colon, e.end()
	}
	it := s.parent.items[s.index]
	if s.parent.flow {
		return it.dash, it.dash, it.end()
	}
	return it.dash, it.dash + 1, max(it.dash+1, it.end())
}

// set replaces the value by one that is written on one line.
func (s slot) set(w written) []cut {
	l := &s.file.lines
	value := s.parent.child(s.index)
	_, after, _ := s.bounds()
	block := (value.kind == Mapping || value.kind == List) && !value.flow
	switch {
	case value.kind == Nothing && value.start == value.end:
		return []cut{{after, after, " " + w.text}}
	case block && l.lineOf(after) != l.lineOf(value.start):
		// The key's own line keeps its comment; the lines below go.
		return []cut{
			{after, after, " " + w.text},
			{l.lineEndAt(l.lineOf(after)), l.lineEndAt(l.lineOf(value.end)), ""},
		}
	}
	return []cut{{value.start, value.end, w.text}}
}

// blankBefore tells whether only blanks stand before an offset on its line.
func (l *lines) blankBefore(offset int) bool {
	return strings.Trim(l.text[l.starts[l.lineOf(offset)]:offset], " ") == ""
}

// column gives the blanks that bring a new line to the column of an offset.
func (l *lines) column(offset int) string {
	return strings.Repeat(" ", offset-l.starts[l.lineOf(offset)])
}

// insertEntry adds a written entry behind the one at an index, or first when
// the index is -1.
func (f *File) insertEntry(into *node, after int, text string) []cut {
	if into.flow {
		if after < 0 {
			at := into.start + 1
			if len(into.entries) > 0 {
				text += ", "
			}
			return []cut{{at, at, text}}
		}
		at := into.entries[after].end()
		return []cut{{at, at, ", " + text}}
	}
	at := f.lines.lineEndAt(f.lines.lineOf(into.entries[after].end()))
	return []cut{{at, at, "\n" + f.lines.column(into.start) + text}}
}

// insertItem adds a written item before the one at an index, or last.
func (f *File) insertItem(into *node, index int, text string) []cut {
	if into.flow {
		switch {
		case len(into.items) == 0:
			return []cut{{into.start + 1, into.start + 1, text}}
		case index == len(into.items):
			at := into.items[index-1].end()
			return []cut{{at, at, ", " + text}}
		}
		at := into.items[index].dash
		return []cut{{at, at, text + ", "}}
	}
	indent := f.lines.column(into.start)
	if index == 0 {
		return []cut{{into.start, into.start, "- " + text + "\n" + indent}}
	}
	before := slot{f, into, index - 1}
	_, _, end := before.bounds()
	at := f.lines.lineEndAt(f.lines.lineOf(end))
	return []cut{{at, at, "\n" + indent + "- " + text}}
}

// remove takes the slot out of its parent.
func (s slot) remove() []cut {
	if s.count() == 1 {
		return s.empty()
	}
	if s.parent.flow {
		return s.removeInBrackets()
	}
	l := &s.file.lines
	start, _, end := s.bounds()
	first, last := l.lineOf(start), l.lineOf(end)
	if l.blankBefore(start) {
		to := len(l.text)
		if last+1 < len(l.starts) {
			to = l.starts[last+1]
		}
		return []cut{{l.starts[first], to, ""}}
	}
	// The first of several, behind a dash: the next one moves up, unless a
	// comment stands between them.
	next, _, _ := slot{s.file, s.parent, s.index + 1}.bounds()
	if lineOfNext := l.lineOf(next); lineOfNext > last+1 {
		return []cut{{start, l.lineEndAt(last), ""}}
	}
	return []cut{{start, next, ""}}
}

// count gives how many children the parent has.
func (s slot) count() int { return s.parent.count() }

// empty leaves the parent without children.
func (s slot) empty() []cut {
	brackets := written{text: "{}"}
	if s.parent.kind == List {
		brackets.text = "[]"
	}
	if s.parent.flow {
		start, _, end := s.bounds()
		if comma := s.comma(end, s.parent.end); comma >= 0 {
			end = comma + 1
		}
		return []cut{{start, end, ""}}
	}
	if holder, found := s.file.slotOf(s.file.root, s.parent); found {
		return holder.set(brackets)
	}
	return []cut{{s.parent.start, s.parent.end, brackets.text}}
}

// slotOf finds where a value stands below n.
func (f *File) slotOf(n, value *node) (slot, bool) {
	for i := range n.count() {
		child := n.child(i)
		if child == value {
			return slot{f, n, i}, true
		}
		if found, ok := f.slotOf(child, value); ok {
			return found, true
		}
	}
	return slot{}, false
}

// comma finds the first comma in the bytes from..to-1 that is not part of a
// value or comment, or gives -1.
func (s slot) comma(from, to int) int {
	tokens := s.file.tokens
	for _, p := range tokens[sort.Search(len(tokens), func(i int) bool { return tokens[i].start >= from }):] {
		if p.start >= to {
			break
		}
		if p.kind == token.CollectEntryType {
			return p.start
		}
	}
	return -1
}

// removeInBrackets takes one of several children out of brackets, with the
// comma that belongs to it.
func (s slot) removeInBrackets() []cut {
	l := &s.file.lines
	start, _, end := s.bounds()
	if s.index+1 < s.count() {
		next, _, _ := slot{s.file, s.parent, s.index + 1}.bounds()
		if l.lineOf(next) == l.lineOf(end) {
			return []cut{{start, next, ""}}
		}
		return []cut{s.wholeLines(start, s.comma(end, next)+1)}
	}
	_, _, before := slot{s.file, s.parent, s.index - 1}.bounds()
	comma := s.comma(before, start)
	if l.lineOf(comma) == l.lineOf(start) {
		return []cut{{comma, end, ""}}
	}
	return []cut{{comma, comma + 1, ""}, s.wholeLines(start, end)}
}

// wholeLines widens the bytes start..end-1 to their lines when nothing but a
// comment stands beside them.
func (s slot) wholeLines(start, end int) cut {
	l := &s.file.lines
	first, last := l.lineOf(start), l.lineOf(end)
	rest := strings.TrimSpace(l.text[end:l.lineEndAt(last)])
	if l.blankBefore(start) && (rest == "" || rest[0] == '#') && first > 0 {
		return cut{l.lineEndAt(first - 1), l.lineEndAt(last), ""}
	}
	return cut{start, end, ""}
}
