package light

import (
	"math"
	"slices"
	"testing"

	"lampwright/lamp"

	"pgregory.net/rapid"
)

// row is a stage of n LEDs, 10 mm apart, the first at x = 0 on the vehicle.
func row(tb testing.TB, n int) *Stage {
	tb.Helper()
	l := &lamp.Lamp{Name: "row", Place: lamp.Place{At: lamp.Point{X: 5 * float64(n-1), Y: 0}}}
	b, wrong := lamp.Unroll("row", lamp.Row{Count: n, PitchMM: 10}, lamp.Grouping{By: lamp.ByEach}, "", "")
	if len(wrong) > 0 {
		tb.Fatal(wrong)
	}
	l.Add(b)
	return NewStage(l)
}

// everywhere is a stage's LEDs.
func everywhere(s *Stage) []int {
	all := make([]int, s.Len())
	for i := range all {
		all[i] = i
	}
	return all
}

// lightness is what At gives, in L*.
func lightness(r *Routine, led int, tMS float64) float64 { return lightnessOf(r.At(led, tMS)) }

// anyStage draws one or two lamps of one side, up to a dozen LEDs each, in groups of two.
func anyStage() *rapid.Generator[*Stage] {
	return rapid.Custom(func(t *rapid.T) *Stage {
		var lamps []*lamp.Lamp
		for range rapid.IntRange(1, 2).Draw(t, "lamps") {
			l := &lamp.Lamp{Name: "l"}
			l.Place = lamp.Place{
				End: rapid.SampledFrom([]lamp.End{lamp.Rear, lamp.Front}).Draw(t, "end"), Side: lamp.LH,
				At: lamp.Point{X: rapid.Float64Range(-900, -100).Draw(t, "x"), Y: rapid.Float64Range(0, 1500).Draw(t, "y")},
			}
			size := rapid.Float64Range(1, 300).Draw(t, "size")
			count := 2 * rapid.IntRange(1, 6).Draw(t, "pairs")
			var p lamp.Pattern = lamp.Ring{RadiusMM: size, Count: count, StartDeg: rapid.Float64Range(0, 360).Draw(t, "start")}
			if rapid.Bool().Draw(t, "grid") {
				p = lamp.Grid{To: lamp.Point{X: size, Y: size}, Columns: count, Rows: 2}
			}
			b, wrong := lamp.Unroll("z", p, lamp.Grouping{By: lamp.ByLEDs, N: 2}, "", "")
			if len(wrong) > 0 {
				t.Fatal(wrong)
			}
			b.Path = lamp.Path{Name: "way", Points: []lamp.Point{{X: -size, Y: 0}, {X: size, Y: size}, {X: 0, Y: -size}}, Closed: true}
			l.Add(b)
			l.Paths[0].Name = "way"
			lamps = append(lamps, l)
		}
		return NewStage(lamps...)
	})
}

// opposite is the stage of the opposite hands.
func opposite(s *Stage) *Stage {
	var lamps []*lamp.Lamp
	for _, l := range s.Lamps {
		lamps = append(lamps, l.Opposite(l.Name))
	}
	return NewStage(lamps...)
}

// mirrors is every direction that is reflected with a lamp.
func mirrors() []lamp.Direction {
	all := []lamp.Direction{{Heading: lamp.AlongPath, Path: "way"}, {Heading: lamp.AlongPath, Path: "way", Back: true}}
	for h := lamp.Inboard; h < lamp.AlongPath; h++ {
		if h.Mirrors() {
			all = append(all, lamp.Direction{Heading: h})
		}
	}
	return all
}

// anyRoutine draws a routine of one to five strokes that passes Check on a
// stage; maker is called again for the same strokes on another stage.
func anyRoutine(t *rapid.T, stages ...*Stage) []*Routine { return drawRoutine(t, 2, stages) }

// drawRoutine draws the same routine for each of several stages that have the
// same LEDs in other places. Calls go levels deep.
func drawRoutine(t *rapid.T, levels int, stages []*Stage) []*Routine {
	routines := make([]*Routine, len(stages))
	length := float64(rapid.IntRange(1, 100).Draw(t, "length")) * 4
	if rapid.IntRange(0, 3).Draw(t, "own length") == 0 {
		length = 0
	}
	for i := range routines {
		routines[i] = &Routine{Name: "r", LengthMS: length}
	}
	for range rapid.IntRange(1, 5).Draw(t, "strokes") {
		kinds := int(Call)
		if levels > 0 {
			kinds++
		}
		s := Stroke{
			Kind:    Kind(rapid.IntRange(0, kinds-1).Draw(t, "kind")),
			StartMS: rapid.SampledFrom([]float64{0, 4, 10, 100.5}).Draw(t, "start"),
			ForMS:   rapid.SampledFrom([]float64{4, 10, 100, 333.3}).Draw(t, "for"),
			Light:   rapid.Float64Range(0, 1).Draw(t, "light"),
			EdgeMM:  rapid.SampledFrom([]float64{0, 1, 40}).Draw(t, "edge"),
			BandMM:  rapid.Float64Range(0.5, 200).Draw(t, "band"),
			Ease:    Ease(rapid.IntRange(0, 3).Draw(t, "ease")),
			Meets:   Meet(rapid.IntRange(0, 2).Draw(t, "meets")),
			Times:   rapid.IntRange(0, 4).Draw(t, "times"),
			Seed:    rapid.Uint32().Draw(t, "seed"),
		}
		if rapid.Bool().Draw(t, "gaps") {
			s.EveryMS = s.ForMS + 17
		}
		if s.Kind == FadeUp || s.Kind == FadeDown || s.Kind == Sweep || s.Kind == Beat {
			if rapid.Bool().Draw(t, "from") {
				from := rapid.Float64Range(0, 1).Draw(t, "from light")
				switch s.Kind {
				case FadeUp:
					from = min(from, s.Light)
				case FadeDown:
					from = max(from, s.Light)
				}
				s.From = &from
			}
		}
		if s.Kind == Scatter && rapid.Bool().Draw(t, "each") {
			s.EachMS = s.ForMS / 3
		}
		n := stages[0].Len()
		s.On = rapid.SliceOfNDistinct(rapid.IntRange(0, n-1), 1, n, rapid.ID[int]).Draw(t, "on")
		d := rapid.SampledFrom(mirrors()).Draw(t, "direction")
		whole := rapid.Bool().Draw(t, "whole groups")
		var called []*Routine
		if s.Kind == Call {
			s.Backwards = rapid.Bool().Draw(t, "backwards")
			if rapid.Bool().Draw(t, "own time") {
				s.ForMS, s.EveryMS = 0, 0
			}
			if rapid.Bool().Draw(t, "over all") {
				s.On = nil
			}
			called = drawRoutine(t, levels-1, stages)
		}
		for i, stage := range stages {
			own := s
			if s.Kind.Travels() {
				var err error
				if own.Axis, err = stage.Axis(s.On, d); err != nil {
					t.Fatal(err)
				}
				if whole {
					own.Axis = stage.WholeGroups(s.On, own.Axis)
				}
				own.Around = s.Kind == Pass && own.Axis.AroundMM > s.BandMM+2*s.EdgeMM
			}
			if s.Kind == Scatter && whole {
				own.Units = stage.Units(s.On)
			}
			if s.Kind == Call {
				own.Called = called[i]
			}
			routines[i].Strokes = append(routines[i].Strokes, own)
		}
	}
	return routines
}

// instants draws instants of a routine, its ends and frames included.
func instants(t *rapid.T, r *Routine) []float64 {
	length := r.Length()
	all := []float64{0, 4, 8, length / 2, length - 4, length}
	for range 6 {
		all = append(all, rapid.Float64Range(0, length).Draw(t, "instant"))
	}
	all = append(all, float64(rapid.IntRange(0, int(length)).Draw(t, "ms")))
	return slices.DeleteFunc(all, func(x float64) bool { return x < 0 || x > length })
}

func sameBits(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) }
