package light

import (
	"math"
	"slices"
	"testing"

	"lampwright/lamp"
)

// pairStage is two opposite lamps of a grid of 4 x 2 (groups of a column) and a ring of 8 (groups of 2).
func pairStage(tb testing.TB) *Stage {
	tb.Helper()
	l := &lamp.Lamp{Name: "lh", Place: lamp.Place{Side: lamp.LH, At: lamp.Point{X: -700, Y: 900}}}
	for _, p := range []struct {
		name    string
		pattern lamp.Pattern
		by      lamp.Grouping
	}{
		{"grid", lamp.Grid{To: lamp.Point{X: 30, Y: 10}, Columns: 4, Rows: 2}, lamp.Grouping{By: lamp.ByColumns, N: 1}},
		{"ring", lamp.Ring{Centre: lamp.Point{X: 15, Y: 60}, RadiusMM: 20, Count: 8, StartDeg: -45}, lamp.Grouping{By: lamp.ByLEDs, N: 2}},
	} {
		b, wrong := lamp.Unroll(p.name, p.pattern, p.by, "", "")
		if len(wrong) > 0 {
			tb.Fatal(wrong)
		}
		l.Add(b)
	}
	return NewStage(l, l.Opposite("rh"))
}

func TestStage(t *testing.T) {
	s := pairStage(t)
	if s.Len() != 32 || len(s.Groups()) != 16 {
		t.Fatalf("%d LEDs, %d groups", s.Len(), len(s.Groups()))
	}
	if ref := s.Ref(17); ref.Lamp.Name != "rh" || ref.LED != 1 || s.LED(1, 1) != 17 {
		t.Errorf("LED 17 is %d of %s", ref.LED, ref.Lamp.Name)
	}
	if got := s.GroupLEDs(1, []int{5, 0}); !slices.Equal(got, []int{26, 27, 16, 17}) {
		t.Errorf("groups 5 and 0 of the second lamp: %v", got)
	}
	if got := s.GroupLEDs(0, nil); !slices.Equal(got, everywhere(s)[:16]) {
		t.Errorf("the first lamp: %v", got)
	}
	for g, leds := range s.Groups() {
		for _, led := range leds {
			if s.GroupOf(led) != g {
				t.Errorf("LED %d is of group %d, not %d", led, s.GroupOf(led), g)
			}
		}
	}
	if got := s.Units([]int{0, 16, 1, 30}); !slices.Equal(got, []int{0, 8, 0, 15}) {
		t.Errorf("units %v", got)
	}
}

func TestWholeGroups(t *testing.T) {
	s := pairStage(t)
	ring := s.GroupLEDs(0, []int{4, 5, 6, 7})
	axis, err := s.Axis(ring, lamp.Direction{Heading: lamp.Clockwise})
	if err != nil {
		t.Fatal(err)
	}
	// The LEDs stand at 315, 0, 45 ... 270 degrees, in pairs: the first pair spans 12 o'clock.
	deg := 20 * math.Pi / 180 // mm
	whole := s.WholeGroups(ring, axis)
	for i, want := range []float64{337.5, 337.5, 67.5, 67.5, 157.5, 157.5, 247.5, 247.5} {
		if math.Abs(whole.MM[i]-want*deg) > 1e-9 {
			t.Errorf("LED %d at %v mm, want %v", i, whole.MM[i], want*deg)
		}
	}
	if math.Abs(whole.LowMM-67.5*deg) > 1e-9 || math.Abs(whole.HighMM-337.5*deg) > 1e-9 || whole.AroundMM != axis.AroundMM {
		t.Errorf("range %v..%v, round %v mm", whole.LowMM, whole.HighMM, whole.AroundMM)
	}
	up, err := s.Axis(ring, lamp.Direction{Heading: lamp.Up})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := s.WholeGroups(ring, up).MM[0], (up.MM[0]+up.MM[1])/2; math.Abs(got-want) > 1e-9 {
		t.Errorf("a pair's height %v, want %v", got, want)
	}
}

// The mean of a group that spans the joint of an axis lies between its LEDs,
// whichever of them comes first.
func TestWholeGroupsAcrossTheJoint(t *testing.T) {
	for _, test := range []struct {
		ring lamp.Ring
		want [2]float64 // degrees clockwise of the two groups
	}{
		{lamp.Ring{RadiusMM: 20, Count: 4, StartDeg: 30, Anticlockwise: true}, [2]float64{345, 165}}, // 30, 300, 210, 120
		{lamp.Ring{RadiusMM: 20, Count: 4, StartDeg: 60, Anticlockwise: true}, [2]float64{15, 195}},  // 60, 330, 240, 150
		{lamp.Ring{RadiusMM: 20, Count: 4, StartDeg: 300}, [2]float64{345, 165}},                     // 300, 30, 120, 210
		{lamp.Ring{RadiusMM: 20, Count: 4, StartDeg: 330}, [2]float64{15, 195}},                      // 330, 60, 150, 240
	} {
		l := &lamp.Lamp{Name: "ring"}
		b, wrong := lamp.Unroll("ring", test.ring, lamp.Grouping{By: lamp.ByLEDs, N: 2}, "", "")
		if len(wrong) > 0 {
			t.Fatal(wrong)
		}
		l.Add(b)
		s := NewStage(l)
		on := everywhere(s)
		whole := s.WholeGroups(on, axisOf(t, s, on, lamp.Clockwise))
		for i, got := range whole.MM {
			if want := test.want[i/2] * whole.AroundMM / 360; math.Abs(got-want) > 1e-9 {
				t.Errorf("from %v°: LED %d at %v mm, want %v", test.ring.StartDeg, i, got, want)
			}
		}
	}
}

// A whole group changes as one: with a hard edge its light is 0 or 1.
func TestWholeGroupsSwitchAsOne(t *testing.T) {
	s := pairStage(t)
	on := everywhere(s)
	axis, err := s.Axis(on, lamp.Direction{Heading: lamp.Outboard})
	if err != nil {
		t.Fatal(err)
	}
	part := 0
	for _, whole := range []bool{false, true} {
		sweep := Stroke{Kind: Sweep, On: on, Axis: axis, ForMS: 400, Light: 1}
		if whole {
			sweep.Axis = s.WholeGroups(on, axis)
		}
		rows, err := Sample(s, &Routine{Name: "r", LengthMS: 400, Strokes: []Stroke{sweep}}, s.Groups(), 100)
		if err != nil {
			t.Fatal(err)
		}
		for g := range rows {
			for k, light := range rows[g] {
				if light == 0 || light == 1 {
					continue
				}
				if whole {
					t.Errorf("group %d, frame %d: %v", g, k, light)
				}
				part++
			}
		}
	}
	if part == 0 {
		t.Error("LED by LED no group was ever half lit: nothing was tested")
	}
}

// The two lamps of a pair, lit by one routine over both, mirror one another.
func TestPairMirrors(t *testing.T) {
	s := pairStage(t)
	on := everywhere(s)
	for _, h := range []lamp.Heading{lamp.Outboard, lamp.Inboard, lamp.Outward, lamp.Inward, lamp.Up, lamp.Down} {
		axis, err := s.Axis(on, lamp.Direction{Heading: h})
		if err != nil {
			t.Fatal(err)
		}
		r := &Routine{Name: "r", Strokes: []Stroke{{Kind: Swing, On: on, Axis: axis, ForMS: 400, Light: 1, BandMM: 30, EdgeMM: 20}}}
		rows, err := Sample(s, r, s.Groups(), 100)
		if err != nil {
			t.Fatal(err)
		}
		changed := false
		for g := range 8 {
			if !slices.Equal(rows[g], rows[g+8]) {
				t.Errorf("%s: group %d of the pair differs", h, g)
			}
			changed = changed || rows[g][0] != rows[g][50]
		}
		if !changed {
			t.Errorf("%s: nothing moved", h)
		}
	}
}

func TestGroupLightIsTheMean(t *testing.T) {
	r := &Routine{Name: "r", Strokes: []Stroke{{Kind: Hold, On: []int{0, 1}, Light: 1}, {Kind: Hold, On: []int{2}, Light: 0.5}}}
	for _, test := range []struct {
		leds []int
		want float64
	}{{[]int{0, 1}, 1}, {[]int{0, 3}, 0.5}, {[]int{0, 1, 2, 3}, 0.625}, {nil, 0}} {
		if got := r.GroupLight(test.leds, 0); math.Abs(got-test.want) > 1e-15 {
			t.Errorf("%v: %v, want %v", test.leds, got, test.want)
		}
	}
}
