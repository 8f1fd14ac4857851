package report

import (
	"bufio"
	"io"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// Rules of the text form:
//   - one block for each diagnostic, a blank line between blocks;
//   - place, label and text in the first line, so that editors can jump to it;
//   - then the source line with its number and a caret line below it;
//   - then only what is known: expected, did you mean, figure, why, next;
//   - remarks last, each with its own place and line.

// snippetRunes is the widest piece of a source line that is shown, in runes.
const snippetRunes = 120

// Render writes the list as text, in the order of the list.
func Render(w io.Writer, list List) error {
	out := bufio.NewWriter(w)
	for i, d := range list {
		if i > 0 {
			out.WriteByte('\n')
		}
		renderOne(out, d)
	}
	return out.Flush()
}

func renderOne(out *bufio.Writer, d Diagnostic) {
	out.WriteString(printable(d.Error()) + "\n")
	snippet(out, d.Place, d.Line)
	field := func(name, value string) {
		if value != "" {
			out.WriteString("  " + name + ": " + printable(value) + "\n")
		}
	}
	field("expected", d.Expected)
	field("did you mean", d.Suggestion)
	field("figure", d.Figure)
	field("limit", d.Limit)
	field("source", d.Source)
	field("why", d.Why)
	field("next", d.Next)
	for _, note := range d.Notes {
		place := note.Place.String()
		if place != "" {
			place += ": "
		}
		out.WriteString("  see: " + printable(place+note.Text) + "\n")
		snippet(out, note.Place, note.Line)
	}
}

// snippet writes the source line and a line that points at the place in it.
func snippet(out *bufio.Writer, place Place, line string) {
	if line == "" || place.Line < 1 {
		return
	}
	runes := []rune(line)
	column := min(max(place.Column, 0), len(runes)+1)
	from, to := window(len(runes), column)
	number := strconv.Itoa(place.Line)
	margin := strings.Repeat(" ", max(0, 5-len(number)))
	out.WriteString(margin + number + " | ")
	if from > 0 {
		out.WriteString("…")
	}
	for _, r := range runes[from:to] {
		out.WriteRune(visible(r))
	}
	if to < len(runes) {
		out.WriteString("…")
	}
	out.WriteByte('\n')
	if column == 0 {
		return
	}
	out.WriteString(strings.Repeat(" ", max(5, len(number))) + " | ")
	if from > 0 {
		out.WriteByte(' ')
	}
	for _, r := range runes[from : column-1] {
		if r == '\t' {
			out.WriteByte('\t') // the terminal decides how wide a tab is, in both lines alike
			continue
		}
		out.WriteString(strings.Repeat(" ", cells(r)))
	}
	end := min(column-1+max(place.Length, 1), to)
	under := 0
	for _, r := range runes[column-1 : max(end, column-1)] {
		under += cells(r)
	}
	out.WriteString("^" + strings.Repeat("~", max(0, under-1)) + "\n")
}

// window chooses the part of a line of n runes that is shown around a 1-based
// column: runes from..to-1.
func window(n, column int) (from, to int) {
	if n <= snippetRunes {
		return 0, n
	}
	from = max(0, column-1-snippetRunes/2)
	from = min(from, n-snippetRunes)
	return from, from + snippetRunes
}

// cells is the number of terminal columns that a rune takes.
func cells(r rune) int {
	if unicode.In(r, unicode.Mn, unicode.Me) || r == '\u200d' {
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// visible replaces what a terminal would obey instead of show.
func visible(r rune) rune {
	if r != '\t' && (unicode.IsControl(r) || unicode.In(r, unicode.Bidi_Control)) {
		return '·'
	}
	return r
}

// printable makes a text safe to print on one line.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' {
			return ' '
		}
		return visible(r)
	}, s)
}
