package report

import (
	"fmt"
	"strings"
)

// Diagnostic is one thing to tell: a fault of a document or a finding of a
// rule. Texts are whole phrases in the builder's words, without a capital at
// the start and without a full stop at the end.
type Diagnostic struct {
	ID       string   `json:"id"` // stable name of the check, such as "unknown-key"
	Kind     Kind     `json:"kind"`
	Severity Severity `json:"severity"`
	Text     string   `json:"text"`           // what is wrong
	Why      string   `json:"why,omitempty"`  // why it matters
	Next     string   `json:"next,omitempty"` // what to do about it; for a finding, the remedy

	Place Place  `json:"place,omitzero"`
	Line  string `json:"line,omitempty"` // source text of Place.Line, without its line end

	Expected   string `json:"expected,omitempty"`   // what would have been accepted
	Suggestion string `json:"suggestion,omitempty"` // the likeliest intended word, verbatim

	Figure string `json:"figure,omitempty"` // the value found, with its unit
	Limit  string `json:"limit,omitempty"`  // the value allowed, with its unit
	Source string `json:"source,omitempty"` // the limit's clause, or "common practice", or "from memory"

	Notes []Remark `json:"notes,omitempty"` // other places that belong to the matter
}

// Remark points at a second place, such as the first of two equal names.
type Remark struct {
	Text  string `json:"text"`
	Place Place  `json:"place,omitzero"`
	Line  string `json:"line,omitempty"`
}

// Errorf makes a document diagnostic of severity StopWork.
func Errorf(id string, place Place, format string, args ...any) Diagnostic {
	return Diagnostic{ID: id, Place: place, Text: fmt.Sprintf(format, args...)}
}

// Cautionf makes a document diagnostic of severity Caution.
func Cautionf(id string, place Place, format string, args ...any) Diagnostic {
	return Diagnostic{ID: id, Severity: Caution, Place: place, Text: fmt.Sprintf(format, args...)}
}

// Findingf makes a finding of the given severity.
func Findingf(severity Severity, id string, place Place, format string, args ...any) Diagnostic {
	return Diagnostic{ID: id, Kind: Finding, Severity: severity, Place: place, Text: fmt.Sprintf(format, args...)}
}

// Because returns a copy that says why the matter counts.
func (d Diagnostic) Because(format string, args ...any) Diagnostic {
	d.Why = fmt.Sprintf(format, args...)
	return d
}

// Do returns a copy with the next step.
func (d Diagnostic) Do(format string, args ...any) Diagnostic {
	d.Next = fmt.Sprintf(format, args...)
	return d
}

// Expect returns a copy that says what would have been accepted.
func (d Diagnostic) Expect(format string, args ...any) Diagnostic {
	d.Expected = fmt.Sprintf(format, args...)
	return d
}

// DidYouMean returns a copy that suggests the candidate nearest to word, or an
// equal copy when none is near.
func (d Diagnostic) DidYouMean(word string, candidates []string) Diagnostic {
	d.Suggestion = Suggest(word, candidates)
	return d
}

// Against returns a copy with the figure found, the limit and the limit's source.
func (d Diagnostic) Against(figure, limit, source string) Diagnostic {
	d.Figure, d.Limit, d.Source = figure, limit, source
	return d
}

// See returns a copy with a remark about another place. The copy shares no
// remarks with the original.
func (d Diagnostic) See(place Place, format string, args ...any) Diagnostic {
	notes := make([]Remark, 0, len(d.Notes)+1)
	notes = append(notes, d.Notes...)
	d.Notes = append(notes, Remark{Text: fmt.Sprintf(format, args...), Place: place})
	return d
}

// Label is the word that opens the rendered line: "error" for a document
// diagnostic that stops work, the severity's name otherwise.
func (d Diagnostic) Label() string {
	if d.Severity == StopWork && d.Kind == Document {
		return "error"
	}
	return d.Severity.String()
}

// Error gives the diagnostic in one line: place, label and text.
func (d Diagnostic) Error() string {
	var b strings.Builder
	if place := d.Place.String(); place != "" {
		b.WriteString(place + ": ")
	}
	b.WriteString(d.Label() + ": " + d.Text)
	return b.String()
}
