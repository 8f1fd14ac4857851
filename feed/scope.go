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
		s.fail("scope-too-long", 0, "the record is %d bytes long", len(text)).Expect("at most %d MiB", MaxScopeBytes>>20).
			Do("save a shorter stretch, or fewer samples")
		return Record{}, s.list()
	}
	if bytes.HasPrefix(text, []byte("\xff\xfe")) || bytes.HasPrefix(text, []byte("\xfe\xff")) || bytes.IndexByte(text, 0) >= 0 {
		s.fail("scope-not-text", 0, "the record is not plain text").Do("save it as CSV; if it is CSV, save it as UTF-8")
		return Record{}, s.list()
	}
	s.split(string(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))))
	if s.choose() {
		s.read()
	}
	list := s.list()
	if list.HasErrors() {
		return Record{}, list
	}
	return Record{Name: name, At: s.at, Volts: s.volts}, list
}

type scope struct {
	file        string
	lines       []string
	cut         byte // what fields stand apart by; ' ' for any blanks
	comma       bool // the decimal sign is a comma
	first       int  // index of the first line of numbers
	time, volt  column
	at, volts   []float64
	diagnostics []*report.Diagnostic
	fields      []string
	head        []string // the last lines of the heading, trimmed
}

// column is where a quantity stands and what one of its units is in s or V.
type column struct {
	index int
	unit  float64
	named bool // whether the unit was written
}

func (s *scope) say(d report.Diagnostic) *said {
	s.diagnostics = append(s.diagnostics, &d)
	return &said{&d}
}

// said lets a diagnostic grow after it was collected.
type said struct{ d *report.Diagnostic }

func (x *said) Do(format string, args ...any) *said     { *x.d = x.d.Do(format, args...); return x }
func (x *said) Expect(format string, args ...any) *said { *x.d = x.d.Expect(format, args...); return x }
func (x *said) Because(format string, args ...any) *said {
	*x.d = x.d.Because(format, args...)
	return x
}

func (s *scope) fail(id string, line int, format string, args ...any) *said {
	return s.say(report.Errorf(id, report.Place{File: s.file, Line: line}, format, args...))
}

func (s *scope) list() report.List {
	var list report.List
	for _, d := range s.diagnostics {
		if n := d.Place.Line; n > 0 && n <= len(s.lines) {
			d.Line = s.lines[n-1]
		}
		list.Add(*d)
	}
	list.Sort()
	return list
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
			s.fail("scope-too-long", i+1, "the record has more than %d samples", MaxScopeSamples).Do("save a shorter stretch, or fewer samples")
			return
		case math.Abs(t) > mostSeconds || math.Abs(v) > mostVolts:
			s.fail("scope-range", i+1, "%g s and %g V is no reading of a car's wire", t, v).
				Expect("up to %g s and %g V", mostSeconds, mostVolts).Do("check the units in the heading")
		case t < last:
			s.fail("scope-order", i+1, "the time goes back from %g s to %g s", last, t).
				Do("save one sweep, with the time column first")
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
		if len(s.diagnostics) >= maxFaults {
			return
		}
	}
	s.gaps(skipped, firstSkipped, beyond)
	if n := len(s.at); n < minSamples {
		s.fail("scope-short", 0, "the record has %d samples", n).Expect("at least %d", minSamples).Do("save a longer stretch")
	} else if !(s.at[n-1] > 0) {
		s.fail("scope-short", 0, "the record lasts no time").Do("save it with more digits of the time")
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
		if 10*beyond > all {
			d.Severity = report.StopWork
		}
		s.say(d)
	}
	if skipped > 0 {
		d := report.Cautionf("scope-rows", report.Place{File: s.file, Line: first}, "%d of %d rows, the first here, hold no time and volts and are left out", skipped, all).
			Do("look whether the record is whole")
		if 10*skipped > all {
			d.Severity = report.StopWork
		}
		s.say(d)
	}
}

// choose finds the columns of time and volts, and their units.
func (s *scope) choose() bool {
	numbers := func(line string) (n int) {
		for _, c := range s.cells(line) {
			if _, ok := s.number(c); ok {
				n++
			}
		}
		return n
	}
	s.first = slices.IndexFunc(s.lines, func(line string) bool { return numbers(line) >= 2 })
	if s.first < 0 {
		s.fail("scope-columns", 0, "no row has two numbers").Expect("a column of times and one of volts").
			Do("save the record as CSV with time and voltage")
		return false
	}
	columns := s.columns()
	if len(columns) < 2 {
		s.fail("scope-columns", s.first+1, "there is only one column of numbers").Expect("a column of times and one of volts").
			Do("save the time with each sample")
		return false
	}
	head := s.heading()
	for _, line := range s.lines[max(0, s.first-10):s.first] {
		s.head = append(s.head, strings.TrimSpace(line))
	}
	s.time = pick(head, columns, s.ascending(columns), timeNames, timeUnits)
	others := slices.DeleteFunc(slices.Clone(columns), func(c int) bool { return c <= s.time.index })
	if len(others) == 0 {
		others = slices.DeleteFunc(columns, func(c int) bool { return c == s.time.index })
	}
	s.volt = pick(head, others, others[0], voltNames, voltUnits)
	if !s.time.named {
		s.note("scope-unit", "the times have no unit and are read as seconds", "write s or ms into the heading")
	}
	if !s.volt.named {
		s.note("scope-unit", "the voltages have no unit and are read as volts", "write V or mV into the heading")
	}
	if len(others) > 1 {
		s.note("scope-columns", "of several columns with numbers, column "+strconv.Itoa(s.volt.index+1)+" is read",
			"if the wire is in another, save that one alone")
	}
	return true
}

func (s *scope) note(id, text, next string) {
	s.say(report.Cautionf(id, report.Place{File: s.file, Line: s.first + 1}, "%s", text).Do("%s", next)).d.Severity = report.Note
}

// rows gives the cells of the first rows of numbers.
func (s *scope) rows() [][]string {
	var rows [][]string
	for _, line := range s.lines[s.first:] {
		if len(rows) == chosenRows {
			break
		}
		if cells := s.cells(line); len(cells) > 1 {
			rows = append(rows, slices.Clone(cells))
		}
	}
	return rows
}

// columns lists the columns that hold numbers in nine rows of ten.
func (s *scope) columns() []int {
	rows := s.rows()
	var count []int
	for _, row := range rows {
		for i, c := range row {
			if i == len(count) {
				count = append(count, 0)
			}
			if _, ok := s.number(c); ok {
				count[i]++
			}
		}
	}
	var out []int
	for i, n := range count {
		if 10*n >= 9*len(rows) {
			out = append(out, i)
		}
	}
	return out
}

// ascending gives the first column that ascends, but a count of rows only when no other does.
func (s *scope) ascending(columns []int) int {
	counter := -1
	for _, c := range columns {
		ascends, counts, last, n := true, true, math.Inf(-1), 0
		for _, row := range s.rows() {
			if c >= len(row) {
				continue
			}
			v, ok := s.number(row[c])
			if !ok {
				continue
			}
			ascends = ascends && v >= last
			counts = counts && (n == 0 || v == last+1)
			last = v
			n++
		}
		switch {
		case ascends && !counts:
			return c
		case ascends && counter < 0:
			counter = c
		}
	}
	return max(counter, columns[0])
}
