package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// List is a collection of diagnostics. The nil List is empty and ready for use.
type List []Diagnostic

// Add appends diagnostics.
func (l *List) Add(ds ...Diagnostic) { *l = append(*l, ds...) }

// Sort orders the list by file, line, column, ID and text. Diagnostics without
// a place come first. Equal diagnostics keep their order.
func (l List) Sort() {
	slices.SortStableFunc(l, func(a, b Diagnostic) int {
		return cmp.Or(
			a.Place.Compare(b.Place),
			cmp.Compare(a.ID, b.ID),
			cmp.Compare(a.Text, b.Text),
		)
	})
}

// HasErrors tells whether any diagnostic stops work.
func (l List) HasErrors() bool { return l.Count(StopWork) > 0 }

// Count gives the number of diagnostics of one severity.
func (l List) Count(severity Severity) int {
	n := 0
	for _, d := range l {
		if d.Severity == severity {
			n++
		}
	}
	return n
}

// Err returns the list as an error when something stops work, else nil.
// Returning a List directly as an error would make an empty one look like a
// failure.
func (l List) Err() error {
	if !l.HasErrors() {
		return nil
	}
	return l
}

// Error gives one line for each diagnostic.
func (l List) Error() string {
	if len(l) == 0 {
		return "no diagnostics"
	}
	lines := make([]string, len(l))
	for i, d := range l {
		lines[i] = d.Error()
	}
	return strings.Join(lines, "\n")
}

// Summary counts in words: "2 errors, 1 caution". An empty list gives
// "nothing to report".
func (l List) Summary() string {
	var errors, stops int
	for _, d := range l {
		switch {
		case d.Severity == StopWork && d.Kind == Document:
			errors++
		case d.Severity == StopWork:
			stops++
		}
	}
	var parts []string
	for _, part := range []struct {
		n         int
		one, many string
	}{
		{errors, "error", "errors"},
		{stops, "stop-work finding", "stop-work findings"},
		{l.Count(Caution), "caution", "cautions"},
		{l.Count(Note), "note", "notes"},
	} {
		switch {
		case part.n == 1:
			parts = append(parts, "1 "+part.one)
		case part.n > 1:
			parts = append(parts, fmt.Sprintf("%d %s", part.n, part.many))
		}
	}
	if len(parts) == 0 {
		return "nothing to report"
	}
	return strings.Join(parts, ", ")
}

// FillLines sets the source line of every diagnostic and remark that points
// into the named file and has none yet. text is the whole file.
func (l List) FillLines(file string, text []byte) {
	var lines []string // split only when needed
	line := func(place Place, have string) string {
		if have != "" || place.File != file || place.Line < 1 {
			return have
		}
		if lines == nil {
			lines = strings.Split(string(text), "\n")
		}
		if place.Line > len(lines) {
			return ""
		}
		return strings.TrimSuffix(lines[place.Line-1], "\r")
	}
	for i := range l {
		l[i].Line = line(l[i].Place, l[i].Line)
		if len(l[i].Notes) > 0 {
			l[i].Notes = slices.Clone(l[i].Notes) // remarks may be shared with a copy
		}
		for j := range l[i].Notes {
			l[i].Notes[j].Line = line(l[i].Notes[j].Place, l[i].Notes[j].Line)
		}
	}
}
