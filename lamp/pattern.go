package lamp

import (
	"slices"

	"lampwright/report"
)

// Pattern gives positions of LEDs in layout order. The patterns are [Single],
// [List], [Row], [Column], [Grid], [Ring], [Arc] and [Line].
type Pattern interface {
	// lay gives the positions in order, or what is wrong with the pattern.
	// byRow asks a grid to go row by row.
	lay(byRow bool) (laid, report.List)
}

// laid is a pattern worked out.
type laid struct {
	points  []Point
	columns int     // of a grid, else 0
	rows    int     // of a grid, else 0
	path    Path    // the line on which the LEDs stand in order, if there is one
	pitchMM float64 // arc length between neighbours on the path, 0 without path
}

// Single is one LED.
type Single struct{ At Point }

func (s Single) lay(bool) (laid, report.List) { return List{[]Point{s.At}}.lay(false) }

// List is LEDs at given positions, in the given order.
type List struct{ At []Point }

func (l List) lay(bool) (laid, report.List) {
	var wrong report.List
	wrong = countLEDs(wrong, len(l.At), 1)
	wrong = allFinite(wrong, l.At...)
	return laid{points: slices.Clone(l.At)}, wrong
}

// Row is Count LEDs to the right of From (to the left if the pitch is negative).
type Row struct {
	From    Point
	Count   int
	PitchMM float64 // mm from LED to LED
}

func (r Row) lay(bool) (laid, report.List) {
	return straight(r.From, r.Count, r.PitchMM, func(mm float64) Point { return Point{r.From.X + mm, r.From.Y} })
}

// Column is Count LEDs above From (below it if the pitch is negative).
type Column struct {
	From    Point
	Count   int
	PitchMM float64 // mm from LED to LED
}

func (c Column) lay(bool) (laid, report.List) {
	return straight(c.From, c.Count, c.PitchMM, func(mm float64) Point { return Point{c.From.X, c.From.Y + mm} })
}

// straight lays LEDs with a pitch; step gives the point that many mm from the first.
func straight(from Point, count int, pitchMM float64, step func(mm float64) Point) (laid, report.List) {
	var wrong report.List
	wrong = countLEDs(wrong, count, 1)
	wrong = allFinite(wrong, from, Point{pitchMM, 0})
	if count > 1 && pitchMM == 0 {
		wrong.Add(report.Errorf("pattern", report.Place{}, "%s with a pitch of 0 mm would stand on one spot", report.Count(count, "LED")).
			Do("give the distance from LED to LED"))
	}
	if len(wrong) > 0 {
		return laid{}, wrong
	}
	out := laid{points: make([]Point, count)}
	for i := range out.points {
		out.points[i] = step(float64(pitchMM * float64(i)))
	}
	if count > 1 {
		out.path = Path{Points: []Point{out.points[0], out.points[count-1]}}
		out.pitchMM = max(pitchMM, -pitchMM)
	}
	return out, nil
}

// Grid is Columns by Rows LEDs between two opposite corners, at which the
// first and the last LED stand. The order goes column by column from the
// column of From to that of To, within a column from the row of From to that
// of To; grouped by rows it goes row by row in the same sense. So a grid drawn
// from its lower left to its upper right corner goes from the left, upwards.
type Grid struct {
	From, To      Point
	Columns, Rows int
}

func (g Grid) lay(byRow bool) (laid, report.List) {
	var wrong report.List
	if g.Columns < 1 || g.Rows < 1 {
		wrong.Add(report.Errorf("pattern", report.Place{}, "a grid of %s and %s has no LED", report.Count(g.Columns, "column"), report.Count(g.Rows, "row")).
			Do("use at least 1 column and 1 row"))
	} else if g.Columns > MaxLEDs || g.Rows > MaxLEDs {
		wrong = countLEDs(wrong, max(g.Columns, g.Rows), 1)
	} else {
		wrong = countLEDs(wrong, g.Columns*g.Rows, 1)
	}
	wrong = allFinite(wrong, g.From, g.To)
	wrong = spread(wrong, g.Columns, "column", "x", g.From.X, g.To.X)
	wrong = spread(wrong, g.Rows, "row", "y", g.From.Y, g.To.Y)
	if len(wrong) > 0 {
		return laid{}, wrong
	}
	out := laid{columns: g.Columns, rows: g.Rows, points: make([]Point, 0, g.Columns*g.Rows)}
	place := func(column, row int) {
		out.points = append(out.points, Point{
			X: between(g.From.X, g.To.X, column, g.Columns-1),
			Y: between(g.From.Y, g.To.Y, row, g.Rows-1),
		})
	}
	if byRow {
		for row := range g.Rows {
			for column := range g.Columns {
				place(column, row)
			}
		}
	} else {
		for column := range g.Columns {
			for row := range g.Rows {
				place(column, row)
			}
		}
	}
	return out, nil
}

// spread refuses one column (row) between two different x (y), and several at
// the same one.
func spread(wrong report.List, n int, unit, axis string, from, to float64) report.List {
	if n == 1 && from != to {
		wrong.Add(report.Errorf("pattern", report.Place{}, "1 %s cannot reach from %s = %s mm to %s mm", unit, axis, mm(from), mm(to)).
			Do("give both corners the same %s, or use more %ss", axis, unit))
	}
	if n > 1 && from == to {
		wrong.Add(report.Errorf("pattern", report.Place{}, "%s at the same %s = %s mm would stand on one spot", report.Count(n, unit), axis, mm(from)).
			Do("move one corner, or use 1 %s", unit))
	}
	return wrong
}

// countLEDs refuses fewer than least and more than MaxLEDs.
func countLEDs(wrong report.List, n, least int) report.List {
	if n < least || n > MaxLEDs {
		wrong.Add(report.Errorf("pattern", report.Place{}, "%s cannot be laid in this pattern", report.Count(n, "LED")).
			Expect("%d to %d", least, MaxLEDs).Do("correct the count"))
	}
	return wrong
}

// allFinite refuses coordinates that are not numbers.
func allFinite(wrong report.List, points ...Point) report.List {
	for _, p := range points {
		if !p.finite() {
			wrong.Add(report.Errorf("pattern", report.Place{}, "a position or length is not a number").Do("correct the value"))
			return wrong
		}
	}
	return wrong
}
