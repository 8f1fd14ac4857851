package figures

import (
	"math"
	"testing"

	"lampwright/lamp"
	"lampwright/units"
)

func unroll(tb testing.TB, l *lamp.Lamp, name string, p lamp.Pattern, by lamp.Grouping, colour string) {
	tb.Helper()
	b, wrong := lamp.Unroll(name, p, by, "part", colour)
	if len(wrong) > 0 {
		tb.Fatal(wrong)
	}
	l.Add(b)
}

// pickup is an invented vehicle: two tails, a bar between them and two front strips.
func pickup(tb testing.TB) []*lamp.Lamp {
	tb.Helper()
	pt := func(x, y float64) lamp.Point { return lamp.Point{X: x, Y: y} }
	tail := &lamp.Lamp{Name: "tail-lh", Place: lamp.Place{End: lamp.Rear, Side: lamp.LH, At: pt(-720, 900)},
		Outline: []lamp.Point{pt(0, 0), pt(180, 0), pt(180, 320), pt(0, 320)}}
	unroll(tb, tail, "arrow", lamp.Grid{From: pt(6, 12), To: pt(174, 48), Columns: 24, Rows: 3}, lamp.Grouping{By: lamp.ByColumns, N: 2}, "amber")
	unroll(tb, tail, "block", lamp.Grid{From: pt(15, 90), To: pt(165, 210), Columns: 6, Rows: 12}, lamp.Grouping{By: lamp.ByRows, N: 1}, "red")
	unroll(tb, tail, "edge", lamp.Line{Through: []lamp.Point{pt(6, 60), pt(6, 310), pt(174, 310), pt(174, 60)}, Count: 36}, lamp.Grouping{By: lamp.ByLEDs, N: 6}, "red")
	bar := &lamp.Lamp{Name: "bar", Place: lamp.Place{End: lamp.Rear, At: pt(0, 980)},
		Outline: []lamp.Point{pt(0, 0), pt(1200, 0), pt(1200, 16), pt(0, 16)}}
	unroll(tb, bar, "bar", lamp.Line{Through: []lamp.Point{pt(8, 8), pt(1192, 8)}, Count: 72}, lamp.Grouping{By: lamp.ByLEDs, N: 3}, "red")
	front := &lamp.Lamp{Name: "front-lh", Place: lamp.Place{End: lamp.Front, Side: lamp.LH, At: pt(-520, 760)},
		Outline: []lamp.Point{pt(0, 0), pt(612, 0), pt(612, 30), pt(0, 30)}}
	unroll(tb, front, "white", lamp.Line{Through: []lamp.Point{pt(12, 22), pt(600, 22)}, Count: 24}, lamp.Grouping{By: lamp.ByLEDs, N: 2}, "white")
	unroll(tb, front, "amber", lamp.Line{Through: []lamp.Point{pt(8, 8), pt(604, 8)}, Count: 36}, lamp.Grouping{By: lamp.ByLEDs, N: 3}, "amber")
	return []*lamp.Lamp{tail, tail.Opposite("tail-rh"), bar, front, front.Opposite("front-rh")}
}

// lit is a frame in which every zone does something else.
func lit(lamps []*lamp.Lamp, at units.Time) Frame {
	f := Frame{At: at, Pressed: []string{"stop", "turn-lh"}}
	for _, l := range lamps {
		shares := make([]units.Share, len(l.Groups))
		for _, z := range l.Zones {
			for i, g := range z.Groups {
				along := float64(i) / float64(len(z.Groups))
				switch z.Name {
				case "arrow", "amber":
					if l.Place.Side == lamp.LH {
						shares[g] = units.Share(min(max(2.2-3*along-0.3, 0), 1))
					}
				case "block":
					shares[g] = 1
				case "edge":
					shares[g] = 0.4
				case "white":
					shares[g] = units.Share(0.2 * (1 + math.Sin(6*along)) / 2)
				case "bar":
					shares[g] = units.Share(math.Pow(math.Sin(math.Pi*along), 4))
				}
			}
		}
		f.Light = append(f.Light, shares)
	}
	return f
}
