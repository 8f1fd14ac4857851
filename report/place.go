package report

import (
	"cmp"
	"fmt"
)

// Place is where something stands in a text file. The zero Place means that
// the matter has no single place.
type Place struct {
	File   string `json:"file,omitempty"`
	Line   int    `json:"line,omitempty"`   // 1-based; 0 = the file as a whole
	Column int    `json:"column,omitempty"` // 1-based, counted in runes; 0 = the line as a whole
	Length int    `json:"length,omitempty"` // runes; 0 = unknown
}

// IsZero tells whether the place is unknown.
func (p Place) IsZero() bool { return p == Place{} }

// String gives file:line:column, leaving out what is unknown.
func (p Place) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	default:
		return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
	}
}

// Compare orders places by file, line and column.
// It returns a negative number when p comes first, zero when neither does.
func (p Place) Compare(q Place) int {
	return cmp.Or(
		cmp.Compare(p.File, q.File),
		cmp.Compare(p.Line, q.Line),
		cmp.Compare(p.Column, q.Column),
	)
}
