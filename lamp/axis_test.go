package lamp

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// directions is every direction that mirrors with the lamp.
func mirrored() []Direction {
	var all []Direction
	for h := Inboard; h < AlongPath; h++ {
		if h.Mirrors() {
			all = append(all, Direction{Heading: h})
		}
	}
	return append(all, Direction{Heading: AlongPath, Path: "way"}, Direction{Heading: AlongPath, Path: "way", Back: true})
}

func sameBits(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) }

// An LED of the opposite hand has, to the last bit, the millimetres of the LED
// it reflects. For regions of several lamps too, as long as clockwise has a hand.
func TestOppositeHandMeasuresTheSame(t *testing.T) {
	if n := len(mirrored()); n != 10 {
		t.Fatalf("%d directions mirror, want 10", n)
	}
	rapid.Check(t, func(t *rapid.T) {
		lamps := []*Lamp{anyLamp("one").Draw(t, "one")}
		if rapid.Bool().Draw(t, "two lamps") {
			lamps = append(lamps, anyLamp("two").Draw(t, "two"))
		}
		oneHand := len(lamps) == 1 || lamps[0].Place.Side == lamps[1].Place.Side
		var opposite []*Lamp
		for _, l := range lamps {
			opposite = append(opposite, l.Opposite(l.Name+"-opposite"))
		}
		for _, d := range mirrored() {
			if (d.Heading == Clockwise || d.Heading == Anticlockwise) && !oneHand {
				continue
			}
			a, err := Along(refs(lamps...), d)
			if err != nil {
				t.Fatal(err)
			}
			b, err := Along(refs(opposite...), d)
			if err != nil {
				t.Fatal(err)
			}
			for i := range a.MM {
				if !sameBits(a.MM[i], b.MM[i]) {
					t.Fatalf("%s: LED %d at %v mm, its reflection at %v mm", d, i, a.MM[i], b.MM[i])
				}
			}
			if !sameBits(a.LowMM, b.LowMM) || !sameBits(a.HighMM, b.HighMM) || !sameBits(a.AroundMM, b.AroundMM) {
				t.Fatalf("%s: ranges differ: %+v %+v", d, a, b)
			}
		}
	})
}

// Left and right are the driver's: reflected, they change places.
func TestLeftAndRightChangePlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLamp("one").Draw(t, "one")
		a, _ := Along(refs(l), Direction{Heading: Left})
		b, _ := Along(refs(l.Opposite("two")), Direction{Heading: Right})
		for i := range a.MM {
			if !sameBits(a.MM[i], b.MM[i]) {
				t.Fatalf("LED %d: left %v, reflected right %v", i, a.MM[i], b.MM[i])
			}
		}
	})
}

func TestAlong(t *testing.T) {
	// A cross of five LEDs, 100 mm wide and high: right, top, left, bottom, middle.
	cross := func(end End, side Side, at Point) *Lamp {
		l := &Lamp{Name: "cross", Place: Place{end, side, at}}
		l.Add(mustUnroll(t, "x", List{[]Point{{50, 0}, {0, 50}, {-50, 0}, {0, -50}, {0, 0}}}, Grouping{By: ByEach}))
		l.Paths = []Path{{"round", []Point{{0, 50}, {50, 0}, {0, -50}, {-50, 0}}, true}}
		return l
	}
	lh, rh := Point{-700, 900}, Point{700, 900}
	quarter := math.Pi / 2 * 40 // the mean distance from the centre is (4·50 + 0)/5 mm
	side := math.Sqrt(5000)     // of the path
	tests := []struct {
		name string
		lamp *Lamp
		d    Direction
		want []float64
	}{
		{"right", cross(Rear, LH, lh), Direction{Heading: Right}, []float64{-650, -700, -750, -700, -700}},
		{"left", cross(Rear, LH, lh), Direction{Heading: Left}, []float64{650, 700, 750, 700, 700}},
		{"right in front", cross(Front, LH, lh), Direction{Heading: Right}, []float64{-750, -700, -650, -700, -700}},
		{"up", cross(Rear, LH, lh), Direction{Heading: Up}, []float64{900, 950, 900, 850, 900}},
		{"down", cross(Rear, LH, lh), Direction{Heading: Down}, []float64{-900, -950, -900, -850, -900}},
		{"outboard LH", cross(Rear, LH, lh), Direction{Heading: Outboard}, []float64{650, 700, 750, 700, 700}},
		{"outboard RH", cross(Rear, RH, rh), Direction{Heading: Outboard}, []float64{750, 700, 650, 700, 700}},
		{"outboard front LH", cross(Front, LH, lh), Direction{Heading: Outboard}, []float64{750, 700, 650, 700, 700}},
		{"inboard RH", cross(Rear, RH, rh), Direction{Heading: Inboard}, []float64{-750, -700, -650, -700, -700}},
		{"outboard centre", cross(Rear, Centre, Point{0, 900}), Direction{Heading: Outboard}, []float64{50, 0, 50, 0, 0}},
		{"inboard centre", cross(Rear, Centre, Point{0, 900}), Direction{Heading: Inboard}, []float64{-50, 0, -50, 0, 0}},
		{"outward", cross(Rear, LH, lh), Direction{Heading: Outward}, []float64{50, 50, 50, 50, 0}},
		{"inward", cross(Rear, LH, lh), Direction{Heading: Inward}, []float64{-50, -50, -50, -50, 0}},
		{"clockwise LH", cross(Rear, LH, lh), Direction{Heading: Clockwise}, []float64{quarter, 0, 3 * quarter, 2 * quarter, 0}},
		{"clockwise RH is seen anticlockwise", cross(Rear, RH, rh), Direction{Heading: Clockwise}, []float64{3 * quarter, 0, quarter, 2 * quarter, 0}},
		{"clockwise front LH is as its viewer sees it", cross(Front, LH, lh), Direction{Heading: Clockwise}, []float64{quarter, 0, 3 * quarter, 2 * quarter, 0}},
		{"anticlockwise LH", cross(Rear, LH, lh), Direction{Heading: Anticlockwise}, []float64{3 * quarter, 0, quarter, 2 * quarter, 0}},
		{"along a path", cross(Rear, LH, lh), Direction{Heading: AlongPath, Path: "round"}, []float64{side, 0, 3 * side, 2 * side, side / 2}},
		{"back along a path", cross(Rear, LH, lh), Direction{Heading: AlongPath, Path: "round", Back: true}, []float64{3 * side, 0, side, 2 * side, 3.5 * side}},
	}
	const tolMM = 1e-9
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			axis, err := Along(refs(test.lamp), test.d)
			if err != nil {
				t.Fatal(err)
			}
			low, high := math.Inf(1), math.Inf(-1)
			for i, want := range test.want {
				low, high = min(low, want), max(high, want)
				if math.Abs(axis.MM[i]-want) > tolMM {
					t.Errorf("LED %d at %v mm, want %v", i, axis.MM[i], want)
				}
			}
			if math.Abs(axis.LowMM-low) > tolMM || math.Abs(axis.HighMM-high) > tolMM {
				t.Errorf("range %v..%v mm, want %v..%v", axis.LowMM, axis.HighMM, low, high)
			}
		})
	}
}

// Two lamps of a pair are one region: outboard runs both ways from the middle,
// clockwise is one picture.
func TestAlongPair(t *testing.T) {
	l := &Lamp{Name: "lh", Place: Place{Rear, LH, Point{-700, 900}}}
	l.Add(mustUnroll(t, "x", Row{Point{0, 0}, 2, 100}, Grouping{By: ByEach}))
	pair := refs(l, l.Opposite("rh"))
	for _, test := range []struct {
		h    Heading
		want []float64
	}{
		{Outboard, []float64{750, 650, 750, 650}},
		{Right, []float64{-750, -650, 750, 650}},
		{Clockwise, []float64{1050 * math.Pi, 1050 * math.Pi, 350 * math.Pi, 350 * math.Pi}}, // mean distance 700 mm; 9 and 3 o'clock
	} {
		axis, err := Along(pair, Direction{Heading: test.h})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range test.want {
			if math.Abs(axis.MM[i]-want) > 1e-9 {
				t.Errorf("%s: LED %d at %v mm, want %v", test.h, i, axis.MM[i], want)
			}
		}
	}
}

// Closed paths of one length close together; of two lengths they do not.
func TestAlongClosedPaths(t *testing.T) {
	ring := func(name string, radius float64) *Lamp {
		l := &Lamp{Name: name}
		l.Add(mustUnroll(t, "ring", Ring{RadiusMM: radius, Count: 8}, Grouping{By: ByEach}))
		return l
	}
	small, large := ring("small", 20), ring("large", 30)
	round := small.Paths[0].LengthMM()
	for _, test := range []struct {
		name  string
		lamps []*Lamp
		want  float64
	}{
		{"one", []*Lamp{small}, round},
		{"a pair", []*Lamp{small, small.Opposite("other")}, round},
		{"two sizes", []*Lamp{small, large}, 0},
		{"two sizes and one again", []*Lamp{small, large, ring("small again", 20)}, 0},
	} {
		axis, err := Along(refs(test.lamps...), Direction{Heading: AlongPath, Path: "ring"})
		if err != nil {
			t.Fatal(err)
		}
		if axis.AroundMM != test.want {
			t.Errorf("%s: one round is %v mm, want %v", test.name, axis.AroundMM, test.want)
		}
	}
}

// The first LED of a ring that starts at 12 o'clock is first, not last, even
// where rounding puts the centre a hair to its right.
func TestRingStartsAtTwelve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(t, "pairs") * 4
		l := &Lamp{Name: "ring", Place: Place{Rear, LH, anyPoint().Draw(t, "at")}}
		b, wrong := Unroll("ring", Ring{Centre: anyPoint().Draw(t, "centre"), RadiusMM: rapid.Float64Range(5, 100).Draw(t, "radius"), Count: n}, Grouping{By: ByEach}, "", "")
		if len(wrong) > 0 {
			t.Fatal(wrong)
		}
		l.Add(b)
		for _, d := range []Direction{{Heading: Clockwise}, {Heading: AlongPath, Path: "ring"}} {
			axis, err := Along(refs(l), d)
			if err != nil {
				t.Fatal(err)
			}
			step := axis.AroundMM / float64(n)
			for i := range n {
				if math.Abs(axis.MM[i]-step*float64(i)) > 1e-6 {
					t.Fatalf("%s: LED %d at %v mm, want %v", d, i, axis.MM[i], step*float64(i))
				}
			}
		}
		axis, _ := Along(refs(l), Direction{Heading: Anticlockwise})
		if axis.MM[0] != 0 {
			t.Fatalf("anticlockwise starts at %v mm", axis.MM[0])
		}
	})
}

func TestAlongFaults(t *testing.T) {
	l := tail(t)
	if _, err := Along(nil, Direction{}); err == nil {
		t.Error("a region without LEDs was measured")
	}
	_, err := Along(refs(l), Direction{Heading: AlongPath, Path: "edgy"})
	if err == nil || err.Error() != `error: lamp tail-lh has no light path "edgy"` {
		t.Errorf("error %v", err)
	}
}

func TestParseDirection(t *testing.T) {
	for h := Inboard; h < AlongPath; h++ {
		d, err := ParseDirection(h.String())
		if err != nil || d != (Direction{Heading: h}) {
			t.Errorf("%s: %v, %v", h, d, err)
		}
	}
	for _, text := range []string{"along edge", "back along edge"} {
		d, err := ParseDirection(text)
		if err != nil || d.Heading != AlongPath || d.Path != "edge" || d.String() != text {
			t.Errorf("%s: %+v, %v", text, d, err)
		}
	}
	for _, text := range []string{"", "along", "outbord", "back edge", "along a b", "back along", "Up"} {
		if d, err := ParseDirection(text); err == nil {
			t.Errorf("%q was read as %v", text, d)
		}
	}
}
