package light

import (
	"testing"

	"lampwright/lamp"
)

// bigStage is 10 000 LEDs in 1000 groups at places that are all different.
func bigStage(tb testing.TB) *Stage {
	tb.Helper()
	l := &lamp.Lamp{Name: "wall", Place: lamp.Place{Side: lamp.LH, At: lamp.Point{X: -700, Y: 900}}}
	block, wrong := lamp.Unroll("wall", lamp.Line{Through: []lamp.Point{{X: 0, Y: 0}, {X: 9000, Y: 40}, {X: 9500, Y: 4000}}, Count: 10000},
		lamp.Grouping{By: lamp.ByLEDs, N: 10}, "red-20", "red")
	if len(wrong) > 0 {
		tb.Fatal(wrong)
	}
	l.Add(block)
	return NewStage(l)
}

func axisOf(tb testing.TB, s *Stage, on []int, h lamp.Heading) lamp.Axis {
	tb.Helper()
	axis, err := s.Axis(on, lamp.Direction{Heading: h})
	if err != nil {
		tb.Fatal(err)
	}
	return axis
}

func benchmarkSample(b *testing.B, s *Stage, r *Routine) {
	groups := s.Groups()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Sample(s, r, groups, 1000); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSampleEveryLEDDifferent moves a band over 10 000 LEDs, each at its
// own place, for 1000 frames: nothing can be shared.
func BenchmarkSampleEveryLEDDifferent(b *testing.B) {
	s := bigStage(b)
	on := s.GroupLEDs(0, nil)
	benchmarkSample(b, s, &Routine{Name: "tide", LengthMS: 4000, Strokes: []Stroke{
		{Kind: Swing, On: on, Axis: axisOf(b, s, on, lamp.Right), ForMS: 4000, Light: 1, BandMM: 300, EdgeMM: 150},
	}})
}

// BenchmarkSampleThreeStrokes adds a glow below and a sweep above.
func BenchmarkSampleThreeStrokes(b *testing.B) {
	s := bigStage(b)
	on := s.GroupLEDs(0, nil)
	benchmarkSample(b, s, &Routine{Name: "show", LengthMS: 4000, Strokes: []Stroke{
		{Kind: Beat, On: on, ForMS: 1000, Times: 4, Light: 0.3, Ease: Gentle},
		{Kind: Swing, On: on, Axis: axisOf(b, s, on, lamp.Right), ForMS: 4000, Light: 1, BandMM: 300, EdgeMM: 150, Meets: Brighter},
		{Kind: Sweep, On: on, Axis: axisOf(b, s, on, lamp.Up), StartMS: 2000, ForMS: 2000, Light: 0.8, EdgeMM: 40},
	}})
}

// BenchmarkSampleSteady is a hold: every frame but the first is a repeat.
func BenchmarkSampleSteady(b *testing.B) {
	s := bigStage(b)
	benchmarkSample(b, s, &Routine{Name: "low", LengthMS: 4000, Strokes: []Stroke{{Kind: Hold, On: s.GroupLEDs(0, nil), Light: 0.4}}})
}
