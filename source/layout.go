package source

import (
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/token"
)

// alignRunes is the widest line whose comment is brought into one column with
// those of its neighbours, in runes.
const alignRunes = 100

// row is one line of formatted text.
type row struct {
	text    string
	comment string // at the end of the line
	fixed   bool   // part of a text over several lines
}

// layout builds the rows of a formatted file.
type layout struct {
	file   *File
	rows   []row
	stack  []column // columns of the words that begin lines, outermost first
	indent int      // of the current line
}

// column is where a word stood and where it stands now.
type column struct{ before, now int }

// layOut writes words in canonical spacing.
func layOut(f *File, words []word) string {
	l := layout{file: f}
	for i, w := range words {
		line := f.lines.lineOf(w.start)
		if i > 0 && f.lines.lineOf(max(words[i-1].start, words[i-1].end-1)) == line {
			l.continueLine(words[i-1], w)
		} else {
			if i > 0 && f.lines.lineOf(max(words[i-1].start, words[i-1].end-1))+1 < line {
				l.rows = append(l.rows, row{})
			}
			l.beginLine(words, i)
		}
	}
	return l.text()
}

// beginLine starts a new row with a word.
func (l *layout) beginLine(words []word, i int) {
	w := words[i]
	before := w.start - l.file.lines.starts[l.file.lines.lineOf(w.start)]
	if w.kind == token.CommentType {
		l.rows = append(l.rows, row{text: strings.Repeat(" ", l.commentIndent(words, i, before)) + l.file.lines.text[w.start:w.end]})
		return
	}
	l.indent = w.indent
	for len(l.stack) > 0 && l.stack[len(l.stack)-1].now >= w.indent {
		l.stack = l.stack[:len(l.stack)-1]
	}
	l.stack = append(l.stack, column{before, w.indent})
	l.rows = append(l.rows, row{text: strings.Repeat(" ", w.indent)})
	l.add(w)
}

// commentIndent finds where a comment on a line of its own belongs: with the
// line below when it stood in its column, else with the innermost line above
// that it did not stand left of.
func (l *layout) commentIndent(words []word, i, before int) int {
	if w := words[i]; w.indent > 0 {
		return w.indent // inside brackets
	}
	for _, next := range words[i+1:] {
		if next.kind == token.CommentType {
			continue
		}
		start := next.start - l.file.lines.starts[l.file.lines.lineOf(next.start)]
		if start == before {
			return next.indent
		}
		break
	}
	for at := len(l.stack) - 1; at >= 0; at-- {
		if l.stack[at].before <= before {
			return l.stack[at].now
		}
	}
	return 0
}

// continueLine adds a word to the current row.
func (l *layout) continueLine(before, w word) {
	last := &l.rows[len(l.rows)-1]
	if w.kind == token.CommentType {
		last.comment = l.file.lines.text[w.start:w.end]
		return
	}
	if !tight(before, w) {
		last.text += " "
	}
	if before.kind == token.SequenceEntryType {
		l.nested(w)
	}
	l.add(w)
}

// nested notes the column of a collection that begins behind a dash.
func (l *layout) nested(w word) {
	if w.indent > l.indent {
		before := w.start - l.file.lines.starts[l.file.lines.lineOf(w.start)]
		l.stack = append(l.stack, column{before, w.indent})
		l.indent = w.indent
	}
}

// tight tells whether no blank stands between two words.
func tight(a, b word) bool {
	switch b.kind {
	case token.MappingValueType, token.CollectEntryType, token.SequenceEndType, token.MappingEndType:
		return true
	}
	return a.kind == token.SequenceStartType || a.kind == token.MappingStartType
}

// add appends a word's own text, which may run over several lines.
func (l *layout) add(w word) {
	body := l.file.lines.text[w.start:w.end]
	if w.block {
		l.addBlock(w, body)
		return
	}
	first, rest, many := strings.Cut(body, "\n")
	l.rows[len(l.rows)-1].text += strings.TrimRight(first, " \t")
	for many {
		first, rest, many = strings.Cut(rest, "\n")
		first = strings.Trim(first, " \t")
		if first != "" {
			first = strings.Repeat(" ", w.indent) + first
		}
		l.rows = append(l.rows, row{text: first, fixed: true})
	}
}

// addBlock appends a block text: its sign, a comment, and its lines.
func (l *layout) addBlock(w word, body string) {
	sign, rest, _ := strings.Cut(body, "\n")
	sign, comment, _ := strings.Cut(sign, "#")
	last := &l.rows[len(l.rows)-1]
	last.text += strings.TrimRight(sign, " \t")
	if comment != "" {
		last.comment = "#" + strings.TrimRight(comment, " \t")
	}
	if rest == "" {
		return
	}
	lines := strings.Split(rest, "\n")
	depth := -1
	for _, line := range lines {
		if own := len(line) - len(strings.TrimLeft(line, " ")); strings.TrimLeft(line, " ") != "" && (depth < 0 || own < depth) {
			depth = own
		}
	}
	for _, line := range lines {
		if len(line) <= depth || depth < 0 {
			l.rows = append(l.rows, row{fixed: true})
			continue
		}
		l.rows = append(l.rows, row{text: strings.Repeat(" ", w.indent) + line[depth:], fixed: true})
	}
}

// text joins the rows, with comments of neighbouring rows in one column.
func (l *layout) text() string {
	var b strings.Builder
	width := func(r row) int { return utf8.RuneCountInString(r.text) }
	for i := 0; i < len(l.rows); {
		end, widest := i, 0
		for ; end < len(l.rows) && l.rows[end].comment != ""; end++ {
			if n := width(l.rows[end]); n <= alignRunes {
				widest = max(widest, n)
			}
		}
		for ; i < end; i++ {
			r := l.rows[i]
			b.WriteString(r.text + strings.Repeat(" ", max(0, widest-width(r))+2) + r.comment + "\n")
		}
		if i < len(l.rows) {
			text := l.rows[i].text
			if !l.rows[i].fixed {
				text = strings.TrimRight(text, " \t")
			}
			b.WriteString(text + "\n")
			i++
		}
	}
	return b.String()
}
