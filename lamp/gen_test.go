package lamp

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// mustUnroll unrolls a pattern that must be right.
func mustUnroll(tb testing.TB, name string, p Pattern, by Grouping) Block {
	tb.Helper()
	b, wrong := Unroll(name, p, by, "red-20", "red")
	if len(wrong) > 0 {
		tb.Fatal(wrong)
	}
	return b
}

// tail is a lamp of 180 x 320 mm with an arrow, a block and an edge.
func tail(tb testing.TB) *Lamp {
	tb.Helper()
	l := &Lamp{
		Name:    "tail-lh",
		Place:   Place{Rear, LH, Point{-720, 900}},
		Outline: []Point{{0, 0}, {180, 0}, {180, 320}, {0, 320}},
	}
	l.Add(mustUnroll(tb, "arrow", Grid{From: Point{6, 12}, To: Point{174, 48}, Columns: 24, Rows: 3}, Grouping{ByColumns, 2}))
	l.Add(mustUnroll(tb, "block", Grid{From: Point{15, 90}, To: Point{165, 210}, Columns: 6, Rows: 12}, Grouping{ByRows, 1}))
	l.Add(mustUnroll(tb, "edge", Line{Through: []Point{{6, 60}, {6, 310}, {174, 310}, {174, 60}}, Count: 36}, Grouping{ByLEDs, 6}))
	return l
}

func coordinate() *rapid.Generator[float64] { return rapid.Float64Range(-900, 900) }

func anyPoint() *rapid.Generator[Point] {
	return rapid.Custom(func(t *rapid.T) Point {
		return Point{coordinate().Draw(t, "x"), coordinate().Draw(t, "y")}
	})
}

// anyPattern draws a pattern that can be laid.
func anyPattern() *rapid.Generator[Pattern] {
	return rapid.Custom(func(t *rapid.T) Pattern {
		from := anyPoint().Draw(t, "from")
		count := rapid.IntRange(2, 12).Draw(t, "count")
		size := rapid.Float64Range(0.5, 300).Draw(t, "size")
		turn := rapid.Float64Range(-400, 400).Draw(t, "turn")
		back := rapid.Bool().Draw(t, "back")
		switch rapid.IntRange(0, 7).Draw(t, "pattern") {
		case 0:
			return Single{from}
		case 1:
			return List{rapid.SliceOfN(anyPoint(), 1, 9).Draw(t, "list")}
		case 2:
			return Row{from, count, size}
		case 3:
			return Column{from, count, -size}
		case 4:
			return Grid{from, Point{from.X + size, from.Y - size}, count, rapid.IntRange(2, 5).Draw(t, "rows")}
		case 5:
			return Ring{from, size, count, turn, back}
		case 6:
			return Arc{from, size, count, turn, rapid.Float64Range(1, 359).Draw(t, "sweep"), back}
		}
		return Line{Through: []Point{from, {from.X + size, from.Y}, {from.X, from.Y + size}}, Closed: back, Count: count}
	})
}

// anyLamp draws a lamp on one side, with one to three blocks.
func anyLamp(name string) *rapid.Generator[*Lamp] {
	return rapid.Custom(func(t *rapid.T) *Lamp {
		l := &Lamp{Name: name}
		l.Place.End = rapid.SampledFrom([]End{Rear, Front}).Draw(t, "end")
		l.Place.Side = rapid.SampledFrom([]Side{LH, RH}).Draw(t, "side")
		l.Place.At = anyPoint().Draw(t, "at")
		if rapid.Bool().Draw(t, "outlined") {
			l.Outline = rapid.SliceOfN(anyPoint(), 3, 6).Draw(t, "outline")
		}
		for i := range rapid.IntRange(1, 3).Draw(t, "blocks") {
			by := rapid.SampledFrom([]Grouping{{By: ByEach}, {By: ByAll}}).Draw(t, "by")
			b, wrong := Unroll(fmt.Sprintf("b%d", i), anyPattern().Draw(t, "pattern"), by, "red-20", "red")
			if len(wrong) > 0 {
				t.Fatal(wrong)
			}
			l.Add(b)
		}
		l.Paths = append(l.Paths, Path{"way", rapid.SliceOfN(anyPoint(), 2, 6).Draw(t, "way"), rapid.Bool().Draw(t, "closed")})
		return l
	})
}

// refs is every LED of lamps.
func refs(lamps ...*Lamp) []Ref {
	var region []Ref
	for _, l := range lamps {
		for i := range l.LEDs {
			region = append(region, Ref{l, i})
		}
	}
	return region
}
