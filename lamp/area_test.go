package lamp

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestLitArea(t *testing.T) {
	at := func(outline []Point, points ...Point) *Lamp {
		l := &Lamp{Name: "x", Outline: outline}
		l.Add(mustUnroll(t, "x", List{points}, Grouping{By: ByEach}))
		return l
	}
	disc := math.Pi * 100 // of 10 mm radius
	// Two circles of radius r at distance d share 2r²·acos(d/2r) - d/2·√(4r² - d²).
	// Source: E. W. Weisstein, "Circle-Circle Intersection", MathWorld, equation 14 for equal radii.
	lens := 200*math.Acos(0.5) - 5*math.Sqrt(300)
	tests := []struct {
		name string
		lamp *Lamp
		want float64
	}{
		{"one spot", at(nil, Point{5, 5}), disc},
		{"two apart", at(nil, Point{0, 0}, Point{50, 3}), 2 * disc},
		{"two on one place", at(nil, Point{0, 0}, Point{0, 0}), disc},
		{"two that overlap sideways", at(nil, Point{0, 0}, Point{10, 0}), 2*disc - lens},
		{"two that overlap upwards", at(nil, Point{0, 0}, Point{0, 10}), 2*disc - lens},
		{"half outside the outline", at([]Point{{0, -20}, {40, -20}, {40, 20}, {0, 20}}, Point{0, 0}), disc / 2},
		{"outline smaller than the spot", at([]Point{{-2, -3}, {2, -3}, {2, 3}, {-2, 3}}, Point{0, 0}), 24},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := test.lamp.LitAreaMM2(nil, 10); math.Abs(got-test.want) > 0.002*test.want+0.05 {
				t.Errorf("%v mm², want %v", got, test.want)
			}
		})
	}
	l := at(nil, Point{0, 0}, Point{50, 0})
	if got := l.LitAreaMM2([]int{1}, 10); math.Abs(got-disc) > 0.002*disc {
		t.Errorf("one of two: %v mm²", got)
	}
	if got := l.LitAreaMM2(nil, 0); got != 0 {
		t.Errorf("spots of no size light %v mm²", got)
	}
}

// The lit area grows with the spot and is the same for the opposite hand.
func TestLitAreaGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLamp("x").Draw(t, "lamp")
		spot := rapid.Float64Range(1, 50).Draw(t, "spot")
		small, large := l.LitAreaMM2(nil, spot), l.LitAreaMM2(nil, 1.2*spot)
		if large < small*0.998-0.05 { // a sliver of the outline may lie between two scan lines
			t.Fatalf("%v mm² with spots of %v mm, %v with larger ones", small, spot, large)
		}
		if other := l.Opposite("y").LitAreaMM2(nil, spot); math.Abs(other-small) > 1e-6*small+1e-9 {
			t.Fatalf("%v mm², opposite hand %v", small, other)
		}
	})
}

func TestPitch(t *testing.T) {
	l := tail(t)
	arrow, _ := l.Zone("arrow")
	if got, want := l.PitchMM(l.LEDsOf(arrow.Groups)), 168.0/23; math.Abs(got-want) > 1e-9 {
		t.Errorf("arrow: %v mm, want %v", got, want)
	}
	if got := l.PitchMM([]int{3}); got != 0 {
		t.Errorf("one LED: %v mm", got)
	}
}

func TestGapAndCentroid(t *testing.T) {
	l := tail(t)
	if gap, ok := l.GapMM(l.Groups[0].LEDs, l.Groups[2].LEDs); !ok || math.Abs(gap-3*168.0/23) > 1e-9 {
		t.Errorf("from the second to the fifth column: %v mm", gap)
	}
	if _, ok := l.GapMM(nil, []int{1}); ok {
		t.Error("nothing has a gap")
	}
	if c, ok := l.Centroid(l.Groups[12].LEDs); !ok || c != (Point{90, 90}) {
		t.Errorf("the lowest row of the block is about %v", c)
	}
	if _, ok := l.Centroid(nil); ok {
		t.Error("nothing has a centroid")
	}
}
