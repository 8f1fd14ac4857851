package feed

import (
	"slices"
	"strings"
	"unicode"
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
