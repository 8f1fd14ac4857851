package kit

import (
	"encoding/csv"
	"errors"
	"io"
	"io/fs"
	"math"
	"strconv"
	"strings"

	"lampwright/job"
	"lampwright/lamp"
	"lampwright/report"
)

// TableLimitBytes is the largest table of LEDs that is read, in bytes.
const TableLimitBytes = 1 << 20

// table reads LED positions from a CSV file with the header id,x,y; x and y are millimetres. Faults carry the file's own lines.
func (b *builder) table(t job.Table) lamp.Pattern {
	name := t.File.Value
	text, err := b.files(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		b.add(report.Errorf("table", t.File.Where, "there is no file %q beside the job", name).Do("put the table into the job's folder, with the columns id,x,y"))
		return nil
	case err != nil:
		b.add(report.Errorf("table", t.File.Where, "the file %q cannot be read", name).
			Because("a job reads only files of its own folder").Do("put the table into the job's folder and see that it may be read"))
		return nil
	case len(text) > TableLimitBytes:
		b.add(report.Errorf("limit", t.File.Where, "the table %q is too large", name).
			Against(strconv.Itoa(len(text))+" bytes", strconv.Itoa(TableLimitBytes)+" bytes", "limit of this program").Do("split the table"))
		return nil
	}
	at, faults := ParseTable(name, text)
	b.list.Add(faults...)
	if len(faults) > 0 {
		return nil
	}
	return lamp.List{At: at}
}

// ParseTable reads LED positions in mm from CSV text with the columns id, x and y, in any order, further columns ignored.
func ParseTable(name string, text []byte) ([]lamp.Point, report.List) {
	var faults report.List
	fail := func(line, column int, next, format string, args ...any) {
		faults.Add(report.Errorf("table", report.Place{File: name, Line: line, Column: column}, format, args...).Do("%s", next))
	}
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(text), "\ufeff")))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	header, err := r.Read()
	if err != nil {
		fail(1, 0, "begin the table with a line id,x,y", "the table is empty or no table")
		return nil, faults
	}
	column := map[string]int{"id": -1, "x": -1, "y": -1}
	for i, h := range header {
		h = strings.ToLower(strings.TrimSpace(h))
		if was, known := column[h]; known && was < 0 {
			column[h] = i
		}
	}
	for _, h := range []string{"id", "x", "y"} {
		if column[h] < 0 {
			fail(1, 1, "begin the table with a line id,x,y", "the table has no column %q", h)
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	var at []lamp.Point
	seen := map[string]int{}
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			fail(parse.Line, parse.Column, "mend the line; a table has plain fields between commas", "the line is not a line of a table")
			break
		}
		line, _ := r.FieldPos(0)
		field := func(h string) (string, bool) {
			if column[h] >= len(record) {
				fail(line, 0, "give id, x and y in every line", "the line has no %s", h)
				return "", false
			}
			return strings.TrimSpace(record[column[h]]), true
		}
		number := func(h string) float64 {
			f, ok := field(h)
			if !ok {
				return 0
			}
			v, err := strconv.ParseFloat(f, 64)
			if err != nil || math.IsNaN(v) || math.Abs(v) > job.PointLimitMM {
				_, col := r.FieldPos(column[h])
				fail(line, col, "give a number of millimetres such as 12.5", "%s = %q is no place in a lamp", h, f)
			}
			return v
		}
		if id, ok := field("id"); ok && id == "" {
			fail(line, 1, "give every LED a name of its own", "the LED has no id")
		} else if before, twice := seen[id]; ok && twice {
			fail(line, 1, "give every LED a name of its own", "the id %q stands in line %d already", id, before)
		} else {
			seen[id] = line
		}
		at = append(at, lamp.Point{X: number("x"), Y: number("y")})
		if len(at) > job.LEDLimit {
			fail(line, 0, "split the table", "the table holds more than %d LEDs", job.LEDLimit)
			break
		}
	}
	if len(at) == 0 && len(faults) == 0 {
		fail(2, 0, "add a line for each LED", "the table holds no LED")
	}
	return at, faults
}
