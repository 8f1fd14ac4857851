package lamp

import (
	"fmt"
	"strconv"
	"strings"

	"lampwright/report"
)

// GroupBy says what a grouping counts.
type GroupBy int

const (
	ByEach    GroupBy = iota // every LED is a group of its own
	ByAll                    // all LEDs are one group
	ByLEDs                   // so many LEDs make a group, in layout order
	ByColumns                // so many columns of a grid make a group, counted from the grid's first corner
	ByRows                   // so many rows of a grid make a group, counted from the grid's first corner
)

// Grouping says how a pattern is cut into groups.
type Grouping struct {
	By GroupBy
	N  int // LEDs, columns or rows in a group; unused by ByEach and ByAll
}

// String writes the grouping as a builder does, such as "2 columns".
func (g Grouping) String() string {
	switch g.By {
	case ByAll:
		return "all"
	case ByLEDs:
		return report.Count(g.N, "LED")
	case ByColumns:
		return report.Count(g.N, "column")
	case ByRows:
		return report.Count(g.N, "row")
	}
	return "each"
}

// size gives the number of LEDs in each group of a sequence of total LEDs. line
// is the number of LEDs in a column or row, whichever is grouped by; 0 if the
// pattern has none.
func (g Grouping) size(total, line int) (int, *report.Diagnostic) {
	switch g.By {
	case ByEach:
		return 1, nil
	case ByAll:
		return total, nil
	}
	count, unit := total, "LED"
	if g.By != ByLEDs {
		if line == 0 {
			d := report.Errorf("grouping", report.Place{}, "groups of %s need a grid, and this pattern is none", g).
				Do("say how many LEDs make a group, or use a grid")
			return 0, &d
		}
		count = total / line
		if unit = "row"; g.By == ByColumns {
			unit = "column"
		}
	}
	if g.N < 1 {
		d := report.Errorf("grouping", report.Place{}, "a group of %s has no light", report.Count(g.N, unit)).Do("use 1 or more")
		return 0, &d
	}
	if count%g.N != 0 {
		d := report.Errorf("part-group", report.Place{}, "%s cannot be cut into groups of %d: %d would be left over",
			report.Count(count, unit), g.N, count%g.N).Do("%s", fits(count, g.N, unit))
		return 0, &d
	}
	if g.By == ByLEDs {
		return g.N, nil
	}
	return g.N * line, nil
}

// fits says which counts and which group sizes near to those asked for leave
// no part group.
func fits(count, n int, unit string) string {
	var counts, sizes []string
	if below := count / n * n; below > 0 {
		counts = append(counts, strconv.Itoa(below))
	}
	counts = append(counts, strconv.Itoa((count/n+1)*n))
	for size := n - 1; size >= 1; size-- {
		if count%size == 0 {
			sizes = append(sizes, strconv.Itoa(size))
			break
		}
	}
	for size := n + 1; size <= count; size++ {
		if count%size == 0 {
			sizes = append(sizes, strconv.Itoa(size))
			break
		}
	}
	return fmt.Sprintf("use %s %ss, or groups of %s", strings.Join(counts, " or "), unit, strings.Join(sizes, " or "))
}
