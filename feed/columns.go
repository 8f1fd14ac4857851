package feed

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"lampwright/report"
)

// Names that heading cells give the two quantities, and the units that they or a row below may hold, in s and V.
var (
	timeNames = []string{"time", "second", "seconds", "t", "zeit", "x", "x-axis"}
	voltNames = []string{"volt", "volts", "voltage", "ampl", "amplitude", "ch1", "ch2", "ch3", "ch4", "ch", "channel", "v", "u", "y"}
	timeUnits = map[string]float64{"s": 1, "sec": 1, "second": 1, "seconds": 1, "ms": 1e-3, "msec": 1e-3, "millisecond": 1e-3, "milliseconds": 1e-3,
		"us": 1e-6, "µs": 1e-6, "μs": 1e-6, "usec": 1e-6, "microseconds": 1e-6, "ns": 1e-9}
	voltUnits = map[string]float64{"v": 1, "volt": 1, "volts": 1, "mv": 1e-3, "millivolts": 1e-3, "kv": 1e3}
)

// heading gives the words of each column above the first row of numbers, lower case, in the order of the lines. Above columns
// that stand apart by tabs the names may stand apart by blanks.
func (s *scope) heading() [][]string {
	var head [][]string
	columns := len(s.cells(s.lines[s.first]))
	for _, line := range s.lines[max(0, s.first-chosenRows):s.first] {
		cells := s.cells(line)
		if blanks := strings.Fields(line); s.cut == '\t' && len(cells) == 1 && (len(blanks) == columns || len(blanks) == columns-1) {
			cells = blanks // a row may end in a tab
		}
		for i, cell := range cells {
			if i == len(head) {
				head = append(head, nil)
			}
			head[i] = append(head[i], words(cell)...)
		}
	}
	return head
}

// words cuts a cell such as "Time (ms)", "t_ms" or "v(out)" at all that is neither letter nor digit.
func words(cell string) []string {
	return strings.FieldsFunc(strings.ToLower(cell), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '-' })
}

// pick chooses the first of the columns with one of the names or, failing that, one of the units in its heading; otherwise
// the one given. The unit is the last that the heading names.
func pick(head [][]string, columns []int, otherwise int, names []string, unitNames map[string]float64) column {
	under := func(c int) []string {
		if c < len(head) {
			return head[c]
		}
		return nil
	}
	has := func(c int, fits func(string) bool) bool { return slices.ContainsFunc(under(c), fits) }
	chosen := column{index: otherwise, unit: 1}
	named := slices.IndexFunc(columns, func(c int) bool { return has(c, func(w string) bool { return slices.Contains(names, w) }) })
	if named < 0 {
		named = slices.IndexFunc(columns, func(c int) bool { return has(c, func(w string) bool { return unitNames[w] != 0 }) })
	}
	if named >= 0 {
		chosen.index = columns[named]
	}
	for _, w := range under(chosen.index) {
		if u := unitNames[w]; u != 0 {
			chosen.unit, chosen.named = u, true
		}
	}
	return chosen
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
		s.list.Add(s.fault("scope-columns", 0, "no row has two numbers").Expect("a column of times and one of volts").
			Do("save the record as CSV with time and voltage"))
		return false
	}
	columns := s.columns()
	if len(columns) < 2 {
		s.list.Add(s.fault("scope-columns", s.first+1, "there is only one column of numbers").Expect("a column of times and one of volts").
			Do("save the time with each sample"))
		return false
	}
	head := s.heading()
	for _, line := range s.lines[max(0, s.first-10):s.first] {
		s.head = append(s.head, strings.TrimSpace(line))
	}
	ascending, counts := s.ascending(columns)
	s.time = pick(head, columns, ascending, timeNames, timeUnits)
	if counts && s.time.index == ascending && !s.time.named {
		s.list.Add(s.fault("scope-columns", s.first+1, "the rows are counted, but the times are missing").Expect("a column of times and one of volts").
			Do("save the time with each sample; if the count is the time, write its unit into the heading, such as time (ms)"))
		return false
	}
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
	d := report.Cautionf(id, s.place(s.first+1), "%s", text).Do("%s", next)
	d.Severity = report.Note
	s.list.Add(d)
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

// ascending gives the first column that ascends, but a count of rows only when no other does; and whether it is one.
func (s *scope) ascending(columns []int) (index int, isCount bool) {
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
			return c, false
		case ascends && counter < 0:
			counter = c
		}
	}
	if counter < 0 {
		return columns[0], false
	}
	return counter, true
}
