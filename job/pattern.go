package job

import (
	"strconv"
	"strings"

	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

// Pattern places LEDs and makes their groups. LEDs are counted in the order in
// which the pattern places them, groups likewise, both from 1.
type Pattern struct {
	source.OneKey
	// One LED.
	LED *LED `yaml:"led,omitempty"`
	// LEDs in a horizontal row, from its start to the right.
	Row *Row `yaml:"row,omitempty"`
	// LEDs in a column, from its start upward.
	Column *Row `yaml:"column,omitempty"`
	// LEDs in columns and rows.
	Grid *Grid `yaml:"grid,omitempty"`
	// LEDs on a full circle.
	Ring *Ring `yaml:"ring,omitempty"`
	// LEDs on a part of a circle.
	Arc *Arc `yaml:"arc,omitempty"`
	// LEDs along a line of several points.
	Line *Line `yaml:"line,omitempty"`
	// LEDs at points read from a table.
	List *Table `yaml:"list,omitempty"`
}

// LED is a single LED.
type LED struct {
	source.At
	// Name of the LED; also of its group, unless another is given.
	Name source.Name `yaml:"name"`
	// Where it sits.
	Point Point `yaml:"at"`
	// The LED part.
	Part source.Name `yaml:"part"`
	// The group that it joins. LEDs with the same group switch together.
	Group source.Name `yaml:"group,omitempty"`
}

// Body is what all patterns of several LEDs have in common.
type Body struct {
	source.At
	// Name of the pattern.
	Name source.Name `yaml:"name"`
	// How its LEDs are divided into groups that switch together.
	Group Grouping `yaml:"group"`
	// The LED part.
	Part source.Name `yaml:"part"`
}

// Row is a straight row or column of LEDs.
type Row struct {
	Body
	// Place of the first LED.
	From Point `yaml:"from"`
	// Place of the last LED. Either this or a length is given.
	To source.Of[Point] `yaml:"to,omitempty"`
	// Distance from the first LED to the last.
	Length source.Of[units.Length] `yaml:"length,omitempty" above:"0 mm" max:"5000 mm"`
	// Number of LEDs. Either this or a spacing is given.
	Count source.Of[int] `yaml:"count,omitempty" min:"1" max:"4096"`
	// Distance from one LED to the next; it must divide the length.
	Spacing source.Of[units.Length] `yaml:"spacing,omitempty" above:"0 mm" max:"5000 mm"`
}

// Grid is a field of LEDs in columns and rows. They are counted along each
// column from its first row, column after column.
type Grid struct {
	Body
	// Place of the LED in the first column and first row.
	From Point `yaml:"from"`
	// Place of the LED in the last column and last row.
	To Point `yaml:"to"`
	// Number of columns.
	Columns int `yaml:"columns" min:"1" max:"1000"`
	// Number of rows.
	Rows int `yaml:"rows" min:"1" max:"1000"`
}

// Ring is a full circle of LEDs.
type Ring struct {
	Body
	// Centre of the circle.
	Centre Point `yaml:"centre"`
	// Radius of the circle.
	Radius units.Length `yaml:"radius" above:"0 mm" max:"2000 mm"`
	// Number of LEDs.
	Count int `yaml:"count" min:"2" max:"4096"`
	// Where the first LED sits: 0 deg is to the right, 90 deg is up. It is 90 deg unless given.
	Start source.Of[units.Angle] `yaml:"start,omitempty" min:"-360 deg" max:"360 deg"`
	// Which way the LEDs follow one another. It is clockwise unless given.
	Turn source.Of[Turn] `yaml:"turn,omitempty"`
}

// Turn is a way round a circle, as seen from outside in front of the lamp.
type Turn string

// Turns.
const (
	Clockwise     Turn = "clockwise"
	Anticlockwise Turn = "anticlockwise"
)

// Words lists the turns.
func (Turn) Words() []string { return []string{string(Clockwise), string(Anticlockwise)} }

// Arc is a part of a circle of LEDs. It runs anticlockwise when "to" is the
// larger angle, else clockwise.
type Arc struct {
	Body
	// Centre of the circle.
	Centre Point `yaml:"centre"`
	// Radius of the circle.
	Radius units.Length `yaml:"radius" above:"0 mm" max:"2000 mm"`
	// Where the first LED sits: 0 deg is to the right, 90 deg is up.
	From units.Angle `yaml:"from" min:"-720 deg" max:"720 deg"`
	// Where the last LED sits.
	To units.Angle `yaml:"to" min:"-720 deg" max:"720 deg"`
	// Number of LEDs. Either this or a spacing is given.
	Count source.Of[int] `yaml:"count,omitempty" min:"1" max:"4096"`
	// Distance from one LED to the next along the circle; it must divide the arc.
	Spacing source.Of[units.Length] `yaml:"spacing,omitempty" above:"0 mm" max:"5000 mm"`
}

// Line is a run of LEDs along a line of several points.
type Line struct {
	Body
	// The points of the line; the first LED sits at the first point.
	Through []Point `yaml:"through" least:"2" most:"2000"`
	// Number of LEDs. Either this or a spacing is given.
	Count source.Of[int] `yaml:"count,omitempty" min:"1" max:"4096"`
	// Distance from one LED to the next along the line; it must divide the line.
	Spacing source.Of[units.Length] `yaml:"spacing,omitempty" above:"0 mm" max:"5000 mm"`
	// Whether the line returns from its last point to its first.
	Closed bool `yaml:"closed,omitempty"`
}

// Table is a set of LEDs whose points stand in a file.
type Table struct {
	Body
	// A file beside the document with the columns id,x,y in millimetres.
	File source.Of[string] `yaml:"file" long:"200"`
}

// Grouping says how the LEDs of a pattern are divided into groups.
type Grouping struct {
	By    GroupBy
	N     int // LEDs, columns or rows in each group; 0 for each and all
	Where report.Place
}

// GroupBy is what a grouping counts.
type GroupBy int

// Groupings.
const (
	ByEach    GroupBy = iota // every LED is a group
	ByAll                    // all LEDs are one group
	ByCount                  // so many LEDs in their order
	ByColumns                // so many columns of a grid
	ByRows                   // so many rows of a grid
)

// groupingExpected says what a grouping looks like.
const groupingExpected = "each, all, a number of LEDs as in 6, or for a grid 2 columns or 1 row"

// String gives the grouping in the document's form.
func (g Grouping) String() string {
	plural := func(word string) string {
		if g.N != 1 {
			word += "s"
		}
		return strconv.Itoa(g.N) + " " + word
	}
	switch g.By {
	case ByEach:
		return "each"
	case ByAll:
		return "all"
	case ByColumns:
		return plural("column")
	case ByRows:
		return plural("row")
	}
	return strconv.Itoa(g.N)
}

// DecodeSource reads a grouping.
func (g *Grouping) DecodeSource(v source.Value) {
	if v.Kind() != source.Scalar {
		v.Fail("", groupingExpected)
		return
	}
	read, problem := parseGrouping(v.Text())
	if problem != "" {
		v.Fail(problem, groupingExpected)
		return
	}
	read.Where = v.Place()
	*g = read
}

func parseGrouping(text string) (Grouping, string) {
	switch text {
	case "each":
		return Grouping{By: ByEach}, ""
	case "all":
		return Grouping{By: ByAll}, ""
	}
	fields := strings.Fields(text)
	if len(fields) == 0 || len(fields) > 2 {
		return Grouping{}, "it is none of the groupings"
	}
	n, problem := ordinal(fields[0], LEDLimit)
	switch {
	case problem != "":
		return Grouping{}, problem
	case len(fields) == 1:
		return Grouping{By: ByCount, N: n}, ""
	}
	switch fields[1] {
	case "column", "columns":
		return Grouping{By: ByColumns, N: n}, ""
	case "row", "rows":
		return Grouping{By: ByRows, N: n}, ""
	case "LED", "LEDs":
		return Grouping{By: ByCount, N: n}, ""
	}
	return Grouping{}, "groups are counted in LEDs, columns or rows"
}
