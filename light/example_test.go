package light_test

import (
	"fmt"
	"strings"

	"lampwright/lamp"
	"lampwright/light"
)

// A turn arrow that fills outboard in 120 ms, on a lamp and on its opposite hand.
func Example() {
	lh := &lamp.Lamp{Name: "tail-lh", Place: lamp.Place{Side: lamp.LH, At: lamp.Point{X: -720, Y: 900}}}
	row, wrong := lamp.Unroll("arrow", lamp.Row{Count: 12, PitchMM: 14}, lamp.Grouping{By: lamp.ByLEDs, N: 2}, "amber-590-50", "amber")
	if wrong.HasErrors() {
		fmt.Println(wrong)
		return
	}
	lh.Add(row)
	for _, l := range []*lamp.Lamp{lh, lh.Opposite("tail-rh")} {
		stage := light.NewStage(l)
		on := stage.GroupLEDs(0, nil)
		axis, err := stage.Axis(on, lamp.Direction{Heading: lamp.Outboard})
		if err != nil {
			fmt.Println(err)
			return
		}
		arrow := &light.Routine{Name: "arrow-out", LengthMS: 150, Strokes: []light.Stroke{
			{Kind: light.Sweep, On: on, Axis: axis, ForMS: 120, Light: 1, EdgeMM: 20},
		}}
		rows, err := light.Sample(stage, arrow, stage.Groups(), 32)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(l.Name)
		for _, k := range []int{0, 5, 15, 30} {
			var shares []string
			for g := range rows {
				shares = append(shares, fmt.Sprintf("%3.0f %%", 100*rows[g][k]))
			}
			fmt.Printf("%3.0f ms: %s\n", light.FrameMS*float64(k), strings.Join(shares, " "))
		}
	}
	// Output:
	// tail-lh
	//   0 ms:   0 %   0 %   0 %   0 %   0 %   0 %
	//  20 ms:   0 %   0 %   0 %   0 %   0 %  74 %
	//  60 ms:   0 %   0 %   1 %  83 % 100 % 100 %
	// 120 ms: 100 % 100 % 100 % 100 % 100 % 100 %
	// tail-rh
	//   0 ms:   0 %   0 %   0 %   0 %   0 %   0 %
	//  20 ms:   0 %   0 %   0 %   0 %   0 %  74 %
	//  60 ms:   0 %   0 %   1 %  83 % 100 % 100 %
	// 120 ms: 100 % 100 % 100 % 100 % 100 % 100 %
}
