package light

import (
	"math"
	"testing"

	"lampwright/lamp"
)

// lit is the expected lightness L* of five LEDs at an instant.
type lit struct {
	atMS float64
	want [5]float64
}

// TestStrokes checks every stroke at its corners against values worked out by
// hand. Five LEDs stand at x = 0, 10, 20, 30, 40 mm; strokes travel to the right.
// The routine is 1000 ms long. Full light is L* 100 and half reach over the dark L* 50.
func TestStrokes(t *testing.T) {
	stage := row(t, 5)
	axis, err := stage.Axis(everywhere(stage), lamp.Direction{Heading: lamp.Right})
	if err != nil {
		t.Fatal(err)
	}
	ring := axis
	ring.AroundMM = 50 // the fifth LED is next to the first
	L := lightnessOf
	quarter, tenth := 0.25, 0.1
	// glow is a hold of 25 % below; L* of 25 % is 57.0754 (CIE 1976).
	glow := Stroke{Kind: Hold, Light: 0.25}
	g := L(0.25)
	half := (100 + g) / 2 // half way from the glow to full, L*

	tests := []struct {
		name    string
		strokes []Stroke
		lit     []lit
	}{
		{"sweep, hard edge", []Stroke{{Kind: Sweep, StartMS: 100, ForMS: 100, Light: 1}}, []lit{
			{99.99, [5]float64{}},
			{100, [5]float64{100}},
			{124.9, [5]float64{100}},
			{125, [5]float64{100, 100}},
			{199.9, [5]float64{100, 100, 100, 100}},
			{200, [5]float64{100, 100, 100, 100, 100}},
			{1000, [5]float64{100, 100, 100, 100, 100}},
		}},
		{"sweep, soft edge", []Stroke{{Kind: Sweep, ForMS: 100, Light: 1, EdgeMM: 10}}, []lit{
			{0, [5]float64{}},
			{10, [5]float64{50}},                     // front at 5 mm
			{50, [5]float64{100, 100, 50}},           // front at 25 mm
			{90, [5]float64{100, 100, 100, 100, 50}}, // front at 45 mm
			{100, [5]float64{100, 100, 100, 100, 100}},
		}},
		{"sweep, edge wider than the region", []Stroke{{Kind: Sweep, ForMS: 100, Light: 1, EdgeMM: 160}}, []lit{
			{50, [5]float64{62.5, 56.25, 50, 43.75, 37.5}}, // front at 100 mm
		}},
		{"sweep, gentle start", []Stroke{{Kind: Sweep, ForMS: 100, Light: 1, EdgeMM: 10, Ease: GentleStart}}, []lit{
			{50, [5]float64{100, 25}}, // front at 12.5 mm
		}},
		{"sweep of half light", []Stroke{{Kind: Sweep, ForMS: 100, Light: 0.5, EdgeMM: 10}}, []lit{
			{50, [5]float64{L(0.5), L(0.5), L(0.5) / 2}},
		}},
		{"sweep over a glow", []Stroke{glow, {Kind: Sweep, ForMS: 100, Light: 1, EdgeMM: 10}}, []lit{
			{0, [5]float64{g, g, g, g, g}},
			{50, [5]float64{100, 100, half, g, g}},
		}},
		{"sweep from 10 %", []Stroke{glow, {Kind: Sweep, StartMS: 100, ForMS: 100, Light: 1, EdgeMM: 10, From: &tenth}}, []lit{
			{99, [5]float64{g, g, g, g, g}},
			{100, [5]float64{L(.1), L(.1), L(.1), L(.1), L(.1)}},
			{150, [5]float64{100, 100, (100 + L(.1)) / 2, L(.1), L(.1)}},
		}},
		{"sweep of no length", []Stroke{{Kind: Sweep, StartMS: 8, Light: 1}}, []lit{
			{7.9, [5]float64{}},
			{8, [5]float64{100, 100, 100, 100, 100}},
		}},
		{"sweep twice with a rest", []Stroke{{Kind: Sweep, ForMS: 100, Light: 1, Times: 2, EveryMS: 300}}, []lit{
			{250, [5]float64{100, 100, 100, 100, 100}}, // stays through the rest
			{300, [5]float64{100}},                     // and starts again
			{350, [5]float64{100, 100, 100}},
			{900, [5]float64{100, 100, 100, 100, 100}},
		}},
		{"clear, hard edge", []Stroke{{Kind: Hold, Light: 1}, {Kind: Clear, ForMS: 100}}, []lit{
			{0, [5]float64{0, 100, 100, 100, 100}},
			{50, [5]float64{0, 0, 0, 100, 100}},
			{100, [5]float64{}},
			{1000, [5]float64{}},
		}},
		{"clear, soft edge", []Stroke{glow, {Kind: Clear, ForMS: 100, EdgeMM: 10}}, []lit{
			{0, [5]float64{g, g, g, g, g}},
			{50, [5]float64{0, 0, g / 2, g, g}},
		}},
		{"clear to a glow", []Stroke{{Kind: Hold, Light: 1}, {Kind: Clear, ForMS: 100, Light: 0.25}}, []lit{
			{50, [5]float64{g, g, g, 100, 100}},
		}},
		{"pass, hard edge", []Stroke{{Kind: Pass, ForMS: 60, Light: 1, BandMM: 20}}, []lit{ // tip = t mm
			{0, [5]float64{100}},
			{10, [5]float64{100, 100}},
			{20, [5]float64{0, 100, 100}}, // the band's end just leaves the first
			{40, [5]float64{0, 0, 0, 100, 100}},
			{59, [5]float64{0, 0, 0, 0, 100}},
			{60, [5]float64{}},
		}},
		{"pass, soft edge", []Stroke{{Kind: Pass, ForMS: 80, Light: 1, BandMM: 20, EdgeMM: 10}}, []lit{ // tip = t mm
			{0, [5]float64{}},
			{5, [5]float64{50}},
			{10, [5]float64{100}},
			{35, [5]float64{50, 100, 100, 50}},
			{75, [5]float64{0, 0, 0, 0, 50}},
			{80, [5]float64{}},
		}},
		{"pass, edge without band", []Stroke{{Kind: Pass, ForMS: 60, Light: 1, EdgeMM: 10}}, []lit{ // tip = t mm
			{10, [5]float64{100}},
			{15, [5]float64{50, 50}},
		}},
		{"pass over a glow leaves it", []Stroke{glow, {Kind: Pass, StartMS: 10, ForMS: 60, Light: 1, BandMM: 20}}, []lit{
			{9, [5]float64{g, g, g, g, g}},
			{30, [5]float64{g, 100, 100, g, g}},
			{70, [5]float64{g, g, g, g, g}},
		}},
		{"dark pass", []Stroke{glow, {Kind: Pass, ForMS: 60, BandMM: 20}}, []lit{
			{20, [5]float64{g, 0, 0, g, g}},
		}},
		{"pass from 25 % covers its region", []Stroke{{Kind: Hold, Light: 1}, {Kind: Pass, ForMS: 60, Light: 1, BandMM: 20, From: &quarter}}, []lit{
			{20, [5]float64{g, 100, 100, g, g}},
			{60, [5]float64{100, 100, 100, 100, 100}},
		}},
		{"pass around", []Stroke{{Kind: Pass, Axis: ring, Around: true, ForMS: 50, Light: 1, BandMM: 10, EdgeMM: 10, Times: 2}}, []lit{ // centre = t mm, round 50 mm
			{0, [5]float64{100, 50, 0, 0, 50}},
			{5, [5]float64{100, 100}},
			{45, [5]float64{100, 0, 0, 0, 100}},
			{50, [5]float64{100, 50, 0, 0, 50}}, // the second round joins the first
			{100, [5]float64{}},
		}},
		{"swing", []Stroke{{Kind: Swing, ForMS: 80, Light: 1, BandMM: 10, EdgeMM: 10}}, []lit{ // centre = t mm, back from 40 ms on
			{0, [5]float64{100, 50}},
			{20, [5]float64{0, 50, 100, 50}},
			{40, [5]float64{0, 0, 0, 50, 100}},
			{60, [5]float64{0, 50, 100, 50}},
			{79.999999999, [5]float64{100, 50}},
			{80, [5]float64{}},
		}},
		{"swing, hard edge", []Stroke{{Kind: Swing, ForMS: 80, Light: 1, BandMM: 10}}, []lit{
			{0, [5]float64{100}},
			{5, [5]float64{100, 100}},
			{15, [5]float64{0, 100, 100}},
		}},
		{"fade up", []Stroke{{Kind: FadeUp, StartMS: 100, ForMS: 100, Light: 1}}, []lit{
			{100, [5]float64{}},
			{125, [5]float64{25, 25, 25, 25, 25}},
			{200, [5]float64{100, 100, 100, 100, 100}},
			{900, [5]float64{100, 100, 100, 100, 100}},
		}},
		{"fade up from a glow below", []Stroke{glow, {Kind: FadeUp, ForMS: 100, Light: 1}}, []lit{
			{0, [5]float64{g, g, g, g, g}},
			{50, [5]float64{half, half, half, half, half}},
		}},
		{"fade up from 25 %", []Stroke{{Kind: FadeUp, StartMS: 100, ForMS: 100, Light: 1, From: &quarter}}, []lit{
			{99, [5]float64{}},
			{100, [5]float64{g, g, g, g, g}},
			{150, [5]float64{half, half, half, half, half}},
		}},
		{"fade up, gentle", []Stroke{{Kind: FadeUp, ForMS: 100, Light: 1, Ease: Gentle}}, []lit{
			{25, [5]float64{15.625, 15.625, 15.625, 15.625, 15.625}},
			{50, [5]float64{50, 50, 50, 50, 50}},
		}},
		{"fade down to dark", []Stroke{{Kind: Hold, Light: 1}, {Kind: FadeDown, ForMS: 100}}, []lit{
			{0, [5]float64{100, 100, 100, 100, 100}},
			{75, [5]float64{25, 25, 25, 25, 25}},
			{100, [5]float64{}},
			{1000, [5]float64{}},
		}},
		{"beat", []Stroke{{Kind: Beat, ForMS: 100, Light: 1, Times: 2, EveryMS: 150}}, []lit{
			{0, [5]float64{}},
			{25, [5]float64{50, 50, 50, 50, 50}},
			{50, [5]float64{100, 100, 100, 100, 100}},
			{75, [5]float64{50, 50, 50, 50, 50}},
			{100, [5]float64{}},
			{125, [5]float64{}},
			{200, [5]float64{100, 100, 100, 100, 100}},
			{250, [5]float64{}},
		}},
		{"hold for a time", []Stroke{{Kind: Hold, StartMS: 100, ForMS: 100, Light: 0.25}}, []lit{
			{99.9, [5]float64{}},
			{100, [5]float64{g, g, g, g, g}},
			{199.9, [5]float64{g, g, g, g, g}},
			{200, [5]float64{}},
		}},
		{"hold to the end", []Stroke{{Kind: Hold, StartMS: 100, Light: 0.25}}, []lit{
			{1000, [5]float64{g, g, g, g, g}},
		}},
		{"hold that ends with the routine is seen at its last instant", []Stroke{{Kind: Hold, ForMS: 500, Times: 2, Light: 0.25}}, []lit{
			{500, [5]float64{g, g, g, g, g}},
			{1000, [5]float64{g, g, g, g, g}},
		}},
		{"hold that starts at the end is not", []Stroke{{Kind: Hold, StartMS: 1000, Light: 0.25}}, []lit{
			{1000, [5]float64{}},
		}},
		{"brighter", []Stroke{glow, {Kind: Sweep, ForMS: 100, Light: 0.1, Meets: Brighter}}, []lit{
			{100, [5]float64{g, g, g, g, g}},
		}},
		{"brighter, soft edge", []Stroke{glow, {Kind: Sweep, ForMS: 100, Light: 1, EdgeMM: 10, Meets: Brighter}}, []lit{
			{50, [5]float64{100, 100, half, g, g}},
		}},
		{"dimmer", []Stroke{glow, {Kind: Sweep, ForMS: 100, Light: 0.1, Meets: Dimmer}}, []lit{
			{50, [5]float64{L(.1), L(.1), L(.1), g, g}},
		}},
		{"dimmer than a bright sweep", []Stroke{glow, {Kind: Sweep, ForMS: 100, Light: 1, Meets: Dimmer}}, []lit{
			{100, [5]float64{g, g, g, g, g}},
		}},
		{"a region", []Stroke{{Kind: Hold, On: []int{1, 3}, Light: 1}}, []lit{
			{0, [5]float64{0, 100, 0, 100}},
		}},
		{"later over earlier", []Stroke{{Kind: Hold, Light: 1}, {Kind: Hold, On: []int{2}, Light: 0.25}}, []lit{
			{0, [5]float64{100, 100, g, 100, 100}},
		}},
	}
	const tolL = 1e-5
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for i := range test.strokes {
				s := &test.strokes[i]
				if s.On == nil {
					s.On = everywhere(stage)
				}
				if s.Kind.Travels() && s.Axis.MM == nil {
					s.Axis = axis
				}
			}
			r := &Routine{Name: "r", LengthMS: 1000, Strokes: test.strokes}
			if wrong := r.Check(stage); wrong.HasErrors() {
				t.Fatal(wrong)
			}
			for _, lit := range test.lit {
				for led, want := range lit.want {
					if got := lightness(r, led, lit.atMS); math.Abs(got-want) > tolL {
						t.Errorf("LED %d at %v ms: L* %.6f, want %.6f", led, lit.atMS, got, want)
					}
				}
			}
		})
	}
}

func TestCalls(t *testing.T) {
	stage := row(t, 5)
	all := everywhere(stage)
	axis, err := stage.Axis(all, lamp.Direction{Heading: lamp.Right})
	if err != nil {
		t.Fatal(err)
	}
	sweep := &Routine{Name: "sweep", LengthMS: 100, Strokes: []Stroke{{Kind: Sweep, On: all, Axis: axis, ForMS: 100, Light: 1}}}
	steady := &Routine{Name: "steady", Strokes: []Stroke{{Kind: Hold, On: all, Light: 1}}}
	g := lightnessOf(0.25)
	glow := Stroke{Kind: Hold, On: all, Light: 0.25}
	tests := []struct {
		name    string
		strokes []Stroke
		lit     []lit
	}{
		{"at its own length", []Stroke{{Kind: Call, Called: sweep, StartMS: 100}}, []lit{
			{99, [5]float64{}},
			{100, [5]float64{100}},
			{150, [5]float64{100, 100, 100}},
			{199, [5]float64{100, 100, 100, 100}},
			{200, [5]float64{}}, // the called routine is over
		}},
		{"stretched", []Stroke{{Kind: Call, Called: sweep, ForMS: 400}}, []lit{
			{99, [5]float64{100}},
			{100, [5]float64{100, 100}},
			{399, [5]float64{100, 100, 100, 100}},
			{400, [5]float64{}},
		}},
		{"backwards", []Stroke{{Kind: Call, Called: sweep, Backwards: true}}, []lit{
			{0, [5]float64{100, 100, 100, 100, 100}}, // its last instant comes first
			{1, [5]float64{100, 100, 100, 100}},
			{50, [5]float64{100, 100, 100}},
			{99, [5]float64{100}},
			{100, [5]float64{}},
		}},
		{"stretched and backwards", []Stroke{{Kind: Call, Called: sweep, ForMS: 1000, Backwards: true}}, []lit{
			{500, [5]float64{100, 100, 100}},
			{1000, [5]float64{100}},
		}},
		{"twice", []Stroke{{Kind: Call, Called: sweep, Times: 2, EveryMS: 200}}, []lit{
			{150, [5]float64{}},
			{250, [5]float64{100, 100, 100}},
		}},
		{"over a glow", []Stroke{glow, {Kind: Call, Called: sweep}}, []lit{
			{50, [5]float64{100, 100, 100, g, g}},
			{100, [5]float64{g, g, g, g, g}},
		}},
		{"in a region only", []Stroke{glow, {Kind: Call, Called: sweep, On: []int{2, 4}}}, []lit{
			{50, [5]float64{g, g, 100, g, g}},
		}},
		{"dimmer", []Stroke{glow, {Kind: Call, Called: sweep, Meets: Dimmer}}, []lit{
			{50, [5]float64{g, g, g, g, g}},
		}},
		{"brighter", []Stroke{glow, {Kind: Call, Called: &Routine{Name: "dark", LengthMS: 100, Strokes: []Stroke{{Kind: Hold, On: []int{0}}}}, Meets: Brighter}}, []lit{
			{50, [5]float64{g, g, g, g, g}},
		}},
		{"a steady routine, stretched", []Stroke{{Kind: Call, Called: steady, ForMS: 500}}, []lit{
			{499, [5]float64{100, 100, 100, 100, 100}},
			{500, [5]float64{}},
		}},
		{"a call of a call", []Stroke{{Kind: Call, Called: sweep.Reverse(), Backwards: true}}, []lit{
			{50, [5]float64{100, 100, 100}},
			{99, [5]float64{100, 100, 100, 100}},
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := &Routine{Name: "r", LengthMS: 1000, Strokes: test.strokes}
			if wrong := r.Check(stage); wrong.HasErrors() {
				t.Fatal(wrong)
			}
			for _, lit := range test.lit {
				for led, want := range lit.want {
					if got := lightness(r, led, lit.atMS); math.Abs(got-want) > 1e-9 {
						t.Errorf("LED %d at %v ms: L* %.6f, want %.6f", led, lit.atMS, got, want)
					}
				}
			}
		})
	}
}

func TestLength(t *testing.T) {
	all := []int{0}
	called := &Routine{Name: "called", LengthMS: 70, Strokes: []Stroke{{Kind: Hold, On: all}}}
	for _, test := range []struct {
		name string
		r    Routine
		want float64
	}{
		{"given", Routine{LengthMS: 300, Strokes: []Stroke{{Kind: Beat, ForMS: 500}}}, 300},
		{"the last stroke's end", Routine{Strokes: []Stroke{{Kind: Beat, StartMS: 100, ForMS: 50}, {Kind: Hold, ForMS: 20}}}, 150},
		{"repeats", Routine{Strokes: []Stroke{{Kind: Beat, StartMS: 100, ForMS: 50, Times: 3, EveryMS: 80}}}, 310},
		{"repeats without rest", Routine{Strokes: []Stroke{{Kind: Beat, ForMS: 50, Times: 3}}}, 150},
		{"a call", Routine{Strokes: []Stroke{{Kind: Call, StartMS: 5, Called: called}}}, 75},
		{"a stretched call", Routine{Strokes: []Stroke{{Kind: Call, ForMS: 90, Called: called}}}, 90},
		{"lasting holds are one frame", Routine{Strokes: []Stroke{{Kind: Hold}}}, FrameMS},
	} {
		if got := test.r.Length(); got != test.want {
			t.Errorf("%s: %v ms, want %v", test.name, got, test.want)
		}
	}
}
