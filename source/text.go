package source

import (
	"sort"
	"strings"
	"unicode/utf8"

	"lampwright/report"
)

// byteOrderMark is what some editors put in front of UTF-8 text.
const byteOrderMark = "\ufeff"

// lines gives access to a text by line and column. Offsets count bytes of
// text, which has single line feeds and no byte order mark; the original keeps
// both.
type lines struct {
	original string
	text     string
	starts   []int  // offset of each line
	returns  []int  // for each line, how many carriage returns stand before it in the original
	lineEnd  string // the line end for new lines: that of the first line
	mark     int    // bytes of byte order mark in the original
}

func newLines(original string) lines {
	body, marked := strings.CutPrefix(original, byteOrderMark)
	l := lines{original: original, lineEnd: "\n", starts: []int{0}, returns: []int{0}}
	if marked {
		l.mark = len(byteOrderMark)
	}
	var b strings.Builder
	b.Grow(len(body))
	returns := 0
	for rest := body; ; {
		line, after, found := strings.Cut(rest, "\n")
		if !found {
			b.WriteString(line)
			break
		}
		if bare, carriage := strings.CutSuffix(line, "\r"); carriage {
			line = bare
			returns++
			if len(l.starts) == 1 {
				l.lineEnd = "\r\n"
			}
		}
		b.WriteString(line)
		b.WriteByte('\n')
		l.starts = append(l.starts, b.Len())
		l.returns = append(l.returns, returns)
		rest = after
	}
	l.text = b.String()
	return l
}

// lineOf gives the 0-based index of the line that holds an offset.
func (l *lines) lineOf(offset int) int {
	return sort.SearchInts(l.starts, offset+1) - 1
}

// lineEndAt gives the offset of the end of a 0-based line, before its line feed.
func (l *lines) lineEndAt(index int) int {
	if index+1 < len(l.starts) {
		return l.starts[index+1] - 1
	}
	return len(l.text)
}

// line gives the text of a 0-based line.
func (l *lines) line(index int) string {
	return l.text[l.starts[index]:l.lineEndAt(index)]
}

// offset gives the offset of a 1-based line and a 1-based column in runes.
// It is false when the text has no such place.
func (l *lines) offset(line, column int) (int, bool) {
	if line < 1 || line > len(l.starts) || column < 1 {
		return 0, false
	}
	at, end := l.starts[line-1], l.lineEndAt(line-1)
	for ; column > 1; column-- {
		if at >= end {
			return 0, false
		}
		_, size := utf8.DecodeRuneInString(l.text[at:])
		at += size
	}
	return at, true
}

// place gives the place of the bytes from..to-1. The length ends with the line.
func (l *lines) place(file string, from, to int) report.Place {
	index := l.lineOf(from)
	to = max(from, min(to, l.lineEndAt(index)))
	return report.Place{
		File:   file,
		Line:   index + 1,
		Column: utf8.RuneCountInString(l.text[l.starts[index]:from]) + 1,
		Length: utf8.RuneCountInString(l.text[from:to]),
	}
}

// inOriginal turns an offset of text into one of the original.
func (l *lines) inOriginal(offset int) int {
	return offset + l.mark + l.returns[l.lineOf(offset)]
}
