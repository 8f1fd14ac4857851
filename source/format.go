package source

import (
	"slices"
	"strings"

	"lampwright/report"

	"github.com/goccy/go-yaml/token"
)

// formatIndent is how far each level stands to the right of the one around it, in blanks.
const formatIndent = 2

// Format gives the file in canonical spacing: two blanks for each level, one
// after colons, commas and dashes, none inside brackets, trailing comments of
// neighbouring lines in one column, at most one empty line in a row. Lines are
// neither joined nor broken, comments and order stay, and the meaning is the
// same. Formatting twice gives what formatting once gives. The file is nil when
// the list has errors.
func (f *File) Format() (*File, report.List) {
	w := wordsOf(f)
	text := layOut(f, w)
	next, list := Parse(f.Name, []byte(f.lines.original[:f.lines.mark]+strings.ReplaceAll(text, "\n", f.lines.lineEnd)))
	if next == nil || !same(f.root, next.root) || !slices.Equal(f.comments(), next.comments()) {
		d := report.Errorf("format", report.Place{File: f.Name}, "the file is written in a way that cannot be put in order safely").
			Because("its meaning or a comment would change").Do("leave it as it is; it reads well")
		if len(list) > 0 {
			d.Place = list[0].Place
		}
		return nil, report.List{d}
	}
	return next, nil
}

// comments lists the texts of all comments in order.
func (f *File) comments() (texts []string) {
	for _, p := range f.tokens {
		if p.kind == token.CommentType {
			texts = append(texts, f.comment(p))
		}
	}
	return texts
}

func (f *File) comment(p piece) string {
	return strings.TrimRight(f.lines.text[p.start:f.lines.lineEndAt(f.lines.lineOf(p.start))], " \t")
}

// word is a piece of text that stays together when blanks around it change.
type word struct {
	kind       token.Type
	start, end int
	indent     int   // blanks before it when it begins a line
	value      *node // of a value or key, else nil
	block      bool  // the value is a block text
}

// wordsOf lists the words of a file in order.
func wordsOf(f *File) []word {
	m := measure{file: f, indents: map[int]int{}, values: map[int]*node{}}
	m.node(f.root, 0, 0)
	var words []word
	for _, p := range f.tokens {
		if p.content || len(words) > 0 && p.start < words[len(words)-1].end {
			continue // a block text carries the comment beside its sign
		}
		w := word{kind: p.kind, start: p.start, end: p.start + 1, indent: m.indents[p.start]}
		switch value := m.values[p.start]; {
		case p.kind == token.CommentType:
			w.end = p.start + len(f.comment(p))
		case p.kind == token.DocumentHeaderType:
			w.end = p.start + len("---")
		case value != nil && value.kind != List && value.kind != Mapping:
			w.value, w.end = value, value.end
			w.block = value.style == '|' || value.style == '>'
		}
		words = append(words, w)
	}
	m.brackets(words)
	return words
}

// measure finds how far each word is indented when it begins a line.
type measure struct {
	file    *File
	indents map[int]int   // by offset
	values  map[int]*node // by offset; keys and values
}

// node visits a value. at is the indent of a block collection, and inside that
// of everything that continues on lines below.
func (m *measure) node(n *node, at, inside int) {
	switch {
	case n.kind == Mapping && !n.flow:
		for _, e := range n.entries {
			m.note(e.key, at)
			m.node(e.value, at+formatIndent, at+formatIndent)
		}
	case n.kind == List && !n.flow:
		for _, it := range n.items {
			m.indents[it.dash] = at
			m.node(it.value, at+formatIndent, at+formatIndent)
		}
	case n.kind == Mapping:
		m.indents[n.start] = inside
		for _, e := range n.entries {
			m.note(e.key, inside)
			m.node(e.value, inside, inside)
		}
	case n.kind == List:
		m.indents[n.start] = inside
		for _, it := range n.items {
			m.node(it.value, inside, inside)
		}
	case n.end > n.start:
		m.note(n, inside)
	}
}

func (m *measure) note(n *node, indent int) {
	m.indents[n.start], m.values[n.start] = indent, n
}

// brackets indents what begins a line inside brackets by their depth.
func (m *measure) brackets(words []word) {
	depth, base := 0, 0
	for i := range words {
		w := &words[i]
		switch w.kind {
		case token.SequenceStartType, token.MappingStartType:
			if depth == 0 {
				base = w.indent
			} else {
				w.indent = base + depth*formatIndent
			}
			depth++
			continue
		case token.SequenceEndType, token.MappingEndType:
			depth--
			w.indent = base + depth*formatIndent
			continue
		}
		if depth > 0 {
			w.indent = base + depth*formatIndent
		}
	}
}
