package feed

import (
	"bytes"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"lampwright/report"
)

// Limits of one scope record.
const (
	MaxScopeBytes   = 16 << 20  // 16 MiB of text
	MaxScopeSamples = 2_000_000 // rows of time and volts
)

const (
	minSamples  = 20
	maxFaults   = 10     // then reading stops
	chosenRows  = 1000   // rows that decide which columns are read
	mostVolts   = 1000.0 // more is a slip of the unit
	mostSeconds = 1e5
)

// Record is what a scope saw on one wire.
type Record struct {
	Name  string
	At    []float64 // s from the first sample, ascending
	Volts []float64 // V, at the times At
}

// ReadScope reads a record: rows of time and volts, as scopes and circuit solvers write them. Fields stand apart by comma,
// semicolon, tab or blanks; a decimal comma is read where fields do not stand apart by commas. Lines before the first row of
// numbers are a heading; the names and units in it (also in a row of their own) choose and scale the columns. Without any, the
// first ascending column is time in seconds and the next is volts, with a note. It reports every fault; a record comes only
// without errors.
func ReadScope(name string, text []byte) (Record, report.List) {
	s := scope{file: name}
	if len(text) > MaxScopeBytes {
		s.list.Add(s.fault("scope-too-long", 0, "the record is %d bytes long", len(text)).Expect("at most %d MiB", MaxScopeBytes>>20).
			Do("save a shorter stretch, or fewer samples"))
		return Record{}, s.list
	}
	if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) || bytes.IndexByte(text, 0) >= 0 {
		s.list.Add(s.fault("scope-not-text", 0, "the record is not plain text").Do("save it as CSV; if it is CSV, save it as UTF-8"))
		return Record{}, s.list
	}
	s.split(string(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))))
	if s.choose() {
		s.read()
	}
	s.list.FillLines(name, text)
	s.list.Sort()
	if s.list.HasErrors() {
		return Record{}, s.list
	}
	return Record{Name: name, At: s.at, Volts: s.volts}, s.list
}

type scope struct {
	file       string
	lines      []string
	cut        byte // what fields stand apart by; ' ' for any blanks
	comma      bool // the decimal sign is a comma
	first      int  // index of the first line of numbers
	time, volt column
	at, volts  []float64
	list       report.List
	fields     []string
	head       []string // the last lines of the heading, trimmed
}

// column is where a quantity stands and what one of its units is in s or V.
type column struct {
	index int
	unit  float64
	named bool // whether the unit was written
}

// place is a line of the record; 0: the record as a whole.
func (s *scope) place(line int) report.Place { return report.Place{File: s.file, Line: line} }

func (s *scope) fault(id string, line int, format string, args ...any) report.Diagnostic {
	return report.Errorf(id, s.place(line), format, args...)
}

// split makes lines and finds out what fields stand apart by.
func (s *scope) split(text string) {
	if !utf8.ValidString(text) { // Latin-1: of its letters only µ matters
		runes := make([]rune, 0, len(text))
		for _, b := range []byte(text) {
			runes = append(runes, rune(b))
		}
		text = string(runes)
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	s.lines = strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n")
	count := map[byte]int{}
	for _, line := range s.lines[max(0, len(s.lines)-chosenRows):] { // the end of a record is numbers
		for _, c := range []byte(";\t,") {
			if strings.IndexByte(line, c) >= 0 {
				count[c]++
			}
		}
	}
	s.cut = ' '
	for _, c := range []byte(",\t;") { // the last that is common wins
		if n := min(len(s.lines), chosenRows); 2*count[c] > n-1 {
			s.cut = c
		}
	}
	s.comma = s.cut != ',' && count[','] > 0
}

// cells splits a line into fields without blanks and quotation marks around them. The result holds until the next call.
func (s *scope) cells(line string) []string {
	out := s.fields[:0]
	if s.cut == ' ' {
		for field := range strings.FieldsSeq(line) {
			out = append(out, strings.Trim(field, `"`))
		}
	} else {
		for field := range strings.SplitSeq(line, string(s.cut)) {
			out = append(out, strings.Trim(strings.TrimSpace(field), `"`))
		}
	}
	s.fields = out
	return out
}

// number reads a field. ok is false for words; infinite or no number for what a scope writes when its range is exceeded.
func (s *scope) number(field string) (v float64, ok bool) {
	if field == "" {
		return 0, false
	}
	if c := field[0]; c != '-' && c != '+' && c != '.' && c != ',' && (c < '0' || c > '9') {
		return 0, false
	}
	if s.comma {
		field = strings.Replace(field, ",", ".", 1)
	}
	if strings.ContainsAny(field, "xXpP_") { // hexadecimal and the like are no readings
		return 0, false
	}
	v, err := strconv.ParseFloat(field, 64)
	return v, err == nil || math.IsInf(v, 0)
}

// read takes all rows.
func (s *scope) read() {
	need := max(s.time.index, s.volt.index) + 1
	rows, skipped, firstSkipped, beyond := 0, 0, 0, 0
	last, start := math.Inf(-1), 0.0
	for i := s.first; i < len(s.lines); i++ {
		cells := s.cells(s.lines[i])
		if len(cells) == 0 || len(cells) == 1 && cells[0] == "" || s.pageHead(s.lines[i]) {
			continue
		}
		var t, v float64
		ok := len(cells) >= need
		if ok {
			t, ok = s.number(cells[s.time.index])
		}
		if ok {
			if v, ok = s.number(cells[s.volt.index]); !ok || math.IsInf(v, 0) {
				beyond++
				continue
			}
		}
		t, v = t*s.time.unit, v*s.volt.unit
		if ok {
			rows++
		}
		switch {
		case !ok:
			if skipped++; skipped == 1 {
				firstSkipped = i + 1
			}
			continue
		case rows > MaxScopeSamples:
			s.list.Add(s.fault("scope-too-long", i+1, "the record has more than %d samples", MaxScopeSamples).Do("save a shorter stretch, or fewer samples"))
			return
		case math.Abs(t) > mostSeconds || math.Abs(v) > mostVolts:
			s.list.Add(s.fault("scope-range", i+1, "%g s and %g V is no reading of a car's wire", t, v).
				Expect("up to %g s and %g V", mostSeconds, mostVolts).Do("check the units in the heading"))
		case t < last:
			s.list.Add(s.fault("scope-order", i+1, "the time goes back from %g s to %g s", last, t).
				Do("save one sweep, with the time column first"))
		case t == last: // rounded by the writer
			s.volts[len(s.volts)-1] = v
			continue
		default:
			if len(s.at) == 0 {
				start = t
			}
			s.at, s.volts = append(s.at, t-start), append(s.volts, v)
			last = t
			continue
		}
		if s.list.Count(report.StopWork) >= maxFaults {
			return
		}
	}
	s.gaps(skipped, firstSkipped, beyond)
	if n := len(s.at); n < minSamples {
		s.list.Add(s.fault("scope-short", 0, "the record has %d samples", n).Expect("at least %d", minSamples).Do("save a longer stretch"))
	} else if !(s.at[n-1] > 0) {
		s.list.Add(s.fault("scope-short", 0, "the record lasts no time").Do("save it with more digits of the time"))
	}
}

// pageHead tells whether a line is a rule or a heading that is repeated on every page of a printed table.
func (s *scope) pageHead(line string) bool {
	line = strings.TrimSpace(line)
	return strings.Trim(line, "-=\f ") == "" || slices.Contains(s.head, line)
}

// gaps tells of rows that were left out.
func (s *scope) gaps(skipped, first, beyond int) {
	all := len(s.at) + skipped + beyond
	if beyond > 0 {
		d := report.Cautionf("scope-clipped", report.Place{File: s.file}, "%d of %d readings were beyond the scope's range and are left out", beyond, all).
			Do("choose a range of 20 V or more and record again")
		s.leftOut(d, beyond, all)
	}
	if skipped > 0 {
		d := report.Cautionf("scope-rows", report.Place{File: s.file, Line: first}, "%d of %d rows, the first here, hold no time and volts and are left out", skipped, all).
			Do("look whether the record is whole")
		s.leftOut(d, skipped, all)
	}
}

// leftOut tells of n of all rows that are missing; more than a tenth makes the record worthless.
func (s *scope) leftOut(d report.Diagnostic, n, all int) {
	if 10*n > all {
		d.Severity = report.StopWork
	}
	s.list.Add(d)
}
