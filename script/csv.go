package script

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"lampwright/report"
	"lampwright/units"
)

// The CSV form is for recordings too long to write by hand: a heading line, then one row for each change, in the order of
// time: the time in milliseconds, the input, 1 for on or 0 for off. Every input is off before its first row and must be off
// after its last.

// csvHeading is the first line of the CSV form.
var csvHeading = []string{"time_ms", "input", "level"}

// ReadCSV reads the CSV form. file and known are as in Parse. It reports every fault up to MaxFaults; the script holds steady, clean presses.
func ReadCSV(file string, text []byte, known []string) (Script, report.List) {
	c := csvReader{file: file, known: known, since: map[string]change{}}
	if len(text) > MaxCSVBytes {
		c.faults.Add(report.Errorf("script-too-long", report.Place{File: file},
			"the recording is %d bytes long, and at most %d are read", len(text), MaxCSVBytes).Do("cut it into several"))
		return Script{}, c.faults
	}
	if !utf8.Valid(text) {
		c.faults.Add(report.Errorf("script-not-text", report.Place{File: file}, "the recording is not UTF-8 text").
			Do("save it as CSV with UTF-8 text"))
		return Script{}, c.faults
	}
	text = bytes.TrimPrefix(text, []byte(byteOrderMark))
	c.read(text)
	c.faults.FillLines(file, text)
	c.faults.Sort()
	slices.SortStableFunc(c.script.Presses, func(a, b Press) int { return int(a.From - b.From) })
	return c.script, shortened(c.faults)
}

type change struct {
	at    units.Time
	place report.Place
}

type csvReader struct {
	file   string
	known  []string
	since  map[string]change // inputs that are on, and since when
	last   units.Time
	script Script
	faults report.List
}

func (c *csvReader) read(text []byte) {
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	heading := true
	lines := bytes.Split(text, []byte("\n"))
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var broken *csv.ParseError
		if errors.As(err, &broken) {
			c.faults.Add(report.Errorf("script-csv", report.Place{File: c.file, Line: broken.Line},
				"a quotation mark is left open or stands in the middle of a word").Do("leave quotation marks out"))
			return
		}
		line, _ := r.FieldPos(0)
		if heading {
			heading = false
			if slices.Equal(row, csvHeading) {
				continue
			}
			c.faults.Add(report.Errorf("script-csv", report.Place{File: c.file, Line: line}, "the heading line is missing").
				Expect("%s", strings.Join(csvHeading, ",")).Do("write it as the first line"))
		}
		if len(row) != len(csvHeading) {
			c.faults.Add(report.Errorf("script-csv", report.Place{File: c.file, Line: line}, "a row has three fields, and this one has %d", len(row)).
				Expect("time in ms, input, 0 or 1, such as 1500,stop,1").Do("write three fields with commas between them, not semicolons or tabs"))
			continue
		}
		c.row(row, func(field int) report.Place {
			line, column := r.FieldPos(field)
			before := lines[line-1]
			runes := utf8.RuneCount(before[:min(column-1, len(before))])
			return report.Place{File: c.file, Line: line, Column: runes + 1, Length: max(1, utf8.RuneCountInString(row[field]))}
		})
	}
	c.end()
}

// row reads one change.
func (c *csvReader) row(row []string, place func(int) report.Place) {
	at, err := units.ParseTime(row[0] + "ms")
	if !plain(row[0]) || err != nil || at > MaxTime {
		c.faults.Add(report.Errorf("script-time", place(0), "%q is not a time in milliseconds", row[0]).
			Expect("a number from 0 to %d, at most three decimals", MaxTime/units.Millisecond).Do("write milliseconds without a unit, such as 1500"))
		return
	}
	if at < c.last {
		c.faults.Add(report.Errorf("script-csv", place(0), "%s is earlier than the row before", at).Do("sort the rows by time"))
		return
	}
	c.last = at
	name := row[1]
	if !validName(name) || c.known != nil && !slices.Contains(c.known, name) {
		c.faults.Add(report.Errorf("script-unknown-input", place(1), "there is no input %q", name).
			DidYouMean(name, c.known).Do("use one of: %s", strings.Join(c.known, ", ")))
		return
	}
	since, on := c.since[name]
	switch {
	case row[2] != "0" && row[2] != "1":
		c.faults.Add(report.Errorf("script-csv", place(2), "%q is not a level", row[2]).Expect("1 for on or 0 for off").Do("write 1 or 0"))
	case on == (row[2] == "1"):
		c.faults.Add(report.Errorf("script-csv", place(2), "%s is %s already", name, map[bool]string{true: "on", false: "off"}[on]).
			Do("keep only the rows that change something"))
	case on && at == since.at:
		c.faults.Add(report.Errorf("script-csv", place(0), "%s goes on and off at the same time", name).
			Do("leave out both rows, or give them different times"))
	case on:
		delete(c.since, name)
		c.script.Presses = append(c.script.Presses, Press{Input: name, From: since.at, To: at})
	default:
		c.since[name] = change{at, place(2)}
	}
}

// end reports the inputs that are left on.
func (c *csvReader) end() {
	for name, since := range c.since {
		c.faults.Add(report.Errorf("script-csv", since.place, "%s goes on here and never off again", name).
			Do("add a row that turns it off"))
	}
}

// WriteCSV writes the timeline in the CSV form, with LF line ends. ReadCSV reads it back to the same timeline.
func WriteCSV(w io.Writer, t *Timeline) error {
	out := csv.NewWriter(w)
	rows := [][]string{csvHeading}
	for _, e := range t.Events() {
		level := "0"
		if e.On {
			level = "1"
		}
		rows = append(rows, []string{milliseconds(e.At), e.Input, level})
	}
	return out.WriteAll(rows)
}

// milliseconds prints a time as a plain number of milliseconds.
func milliseconds(t units.Time) string {
	text := strconv.FormatInt(int64(t/units.Millisecond), 10)
	if rest := int64(t % units.Millisecond); rest != 0 {
		text += "." + strings.TrimRight(strconv.FormatInt(1000+rest, 10)[1:], "0")
	}
	return text
}
