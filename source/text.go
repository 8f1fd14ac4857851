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
	runes    []int  // how many runes begin before each stride of bytes
}

// stride is how many bytes stand between two counts of runes. Counting from
// the start of a line would take the square of its length for a long line.
const stride = 32 // bytes

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
	count := 0
	for i := range len(l.text) {
		if i%stride == 0 {
			l.runes = append(l.runes, count)
		}
		if utf8.RuneStart(l.text[i]) {
			count++
		}
	}
	l.runes = append(l.runes, count)
	return l
}

// runesBefore counts the runes that begin before an offset.
func (l *lines) runesBefore(offset int) int {
	from := offset / stride
	count := l.runes[min(from, len(l.runes)-1)]
	for i := from * stride; i < offset; i++ {
		if utf8.RuneStart(l.text[i]) {
			count++
		}
	}
	return count
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

// offset gives the offset of a 1-based line and a 1-based column in runes.
// It is false when the text has no such place.
func (l *lines) offset(line, column int) (int, bool) {
	if line < 1 || line > len(l.starts) || column < 1 {
		return 0, false
	}
	start, end := l.starts[line-1], l.lineEndAt(line-1)
	before := l.runesBefore(start) + column - 1 // runes before the one meant
	from := sort.Search(len(l.runes), func(i int) bool { return l.runes[i] > before }) - 1
	at := max(start, from*stride)
	for count := l.runesBefore(at); at < end && (count < before || !utf8.RuneStart(l.text[at])); at++ {
		if utf8.RuneStart(l.text[at]) {
			count++
		}
	}
	return at, l.runesBefore(at) == before
}

// place gives the place of the bytes from..to-1. The length ends with the line.
func (l *lines) place(file string, from, to int) report.Place {
	index := l.lineOf(from)
	to = max(from, min(to, l.lineEndAt(index)))
	return report.Place{
		File:   file,
		Line:   index + 1,
		Column: l.runesBefore(from) - l.runesBefore(l.starts[index]) + 1,
		Length: l.runesBefore(to) - l.runesBefore(from),
	}
}

// inOriginal turns an offset of text into one of the original.
func (l *lines) inOriginal(offset int) int {
	return offset + l.mark + l.returns[l.lineOf(offset)]
}
