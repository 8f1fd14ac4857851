package lamp_test

import (
	"fmt"

	"lampwright/lamp"
)

// A tail lamp, its opposite hand, and how far outboard each group reaches.
func Example() {
	lh := &lamp.Lamp{
		Name:    "tail-lh",
		Place:   lamp.Place{End: lamp.Rear, Side: lamp.LH, At: lamp.Point{X: -720, Y: 900}},
		Outline: []lamp.Point{{X: 0, Y: 0}, {X: 180, Y: 0}, {X: 180, Y: 60}, {X: 0, Y: 60}},
	}
	grid := lamp.Grid{From: lamp.Point{X: 10, Y: 10}, To: lamp.Point{X: 170, Y: 50}, Columns: 6, Rows: 3}
	arrow, wrong := lamp.Unroll("arrow", grid, lamp.Grouping{By: lamp.ByColumns, N: 2}, "amber-590-50", "amber")
	if wrong.HasErrors() {
		fmt.Println(wrong)
		return
	}
	lh.Add(arrow)
	rh := lh.Opposite("tail-rh")

	for _, l := range []*lamp.Lamp{lh, rh} {
		for g, group := range l.Groups {
			var region []lamp.Ref
			for _, led := range group.LEDs {
				region = append(region, lamp.Ref{Lamp: l, LED: led})
			}
			axis, err := lamp.Along(region, lamp.Direction{Heading: lamp.Outboard})
			if err != nil {
				fmt.Println(err)
				return
			}
			fmt.Printf("%s %s: %.0f to %.0f mm outboard\n", l.Name, l.Groups[g].Name, axis.LowMM, axis.HighMM)
		}
	}
	// Output:
	// tail-lh arrow.1: 768 to 800 mm outboard
	// tail-lh arrow.2: 704 to 736 mm outboard
	// tail-lh arrow.3: 640 to 672 mm outboard
	// tail-rh arrow.1: 768 to 800 mm outboard
	// tail-rh arrow.2: 704 to 736 mm outboard
	// tail-rh arrow.3: 640 to 672 mm outboard
}

// A count that leaves a part group is refused with the counts that fit.
func ExampleUnroll() {
	line := lamp.Line{Through: []lamp.Point{{X: 0, Y: 0}, {X: 700, Y: 0}}, Count: 36}
	_, wrong := lamp.Unroll("edge", line, lamp.Grouping{By: lamp.ByLEDs, N: 5}, "red-20", "red")
	fmt.Println(wrong[0].Text)
	fmt.Println(wrong[0].Next)
	// Output:
	// edge: 36 LEDs cannot be cut into groups of 5: 1 would be left over
	// use 35 or 40 LEDs, or groups of 4 or 6
}
