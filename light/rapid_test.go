package light

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestDrawnRoutinesPassCheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		if wrong := anyRoutine(t, stage)[0].Check(stage); wrong.HasErrors() {
			t.Fatal(wrong)
		}
	})
}

func TestLightStaysBetweenDarkAndFull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		r := anyRoutine(t, stage)[0]
		for _, at := range instants(t, r) {
			for led := range stage.Len() {
				if light := r.At(led, at); !(light >= 0 && light <= 1) {
					t.Fatalf("LED %d at %v ms: %v", led, at, light)
				}
			}
		}
		if r.At(0, -1) != 0 || r.At(0, r.Length()+1) != 0 || r.At(0, math.NaN()) != 0 {
			t.Fatal("there is light outside the routine")
		}
	})
}

// The routine on the opposite hands gives every LED, to the last bit, the
// light of the LED it reflects.
func TestOppositeHandLightsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		pair := anyRoutine(t, stage, opposite(stage))
		for _, at := range instants(t, pair[0]) {
			for led := range stage.Len() {
				if a, b := pair[0].At(led, at), pair[1].At(led, at); !sameBits(a, b) {
					t.Fatalf("LED %d at %v ms: %v, its reflection %v", led, at, a, b)
				}
			}
		}
	})
}

// The sampler is the definition, only faster: bit for bit for single LEDs,
// within rounding of the mean for groups, whatever instants were asked before.
func TestSamplerAgreesWithDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		r := anyRoutine(t, stage)[0]
		var groups [][]int
		for led := range stage.Len() {
			groups = append(groups, []int{led})
		}
		groups = append(groups, nil)
		groups = append(groups, stage.Groups()...)
		sampler, err := NewSampler(stage, r, groups)
		if err != nil {
			t.Fatal(err)
		}
		if sampler.LengthMS() != r.Length() || sampler.Groups() != len(groups) {
			t.Fatalf("length %v, %d groups", sampler.LengthMS(), sampler.Groups())
		}
		for _, at := range append(instants(t, r), -1, r.Length()+1, 0) {
			lights := sampler.At(at)
			for g, leds := range groups {
				want := r.GroupLight(leds, at)
				if len(leds) <= 1 && !sameBits(lights[g], want) || math.Abs(lights[g]-want) > 1e-14 {
					t.Fatalf("group %v at %v ms: %v, want %v", leds, at, lights[g], want)
				}
			}
		}
	})
}

func TestSampleIsTheSamplerFrameByFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		r := anyRoutine(t, stage)[0]
		frames := rapid.IntRange(0, 60).Draw(t, "frames")
		rows, err := Sample(stage, r, stage.Groups(), frames)
		if err != nil {
			t.Fatal(err)
		}
		k := rapid.IntRange(0, max(frames-1, 0)).Draw(t, "frame")
		for g, leds := range stage.Groups() {
			if len(rows[g]) != frames {
				t.Fatalf("%d frames", len(rows[g]))
			}
			if frames > 0 && math.Abs(rows[g][k]-r.GroupLight(leds, 4*float64(k))) > 1e-14 {
				t.Fatalf("group %d, frame %d", g, k)
			}
		}
	})
}

// A sweep over the dark only brightens, a clear only darkens, whatever the
// direction, edge and ease.
func TestSweepAndClearNeverTurnBack(t *testing.T) {
	const tol = 1e-12
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		on := everywhere(stage)
		axis, err := stage.Axis(on, rapid.SampledFrom(mirrors()).Draw(t, "direction"))
		if err != nil {
			t.Fatal(err)
		}
		sweep := Stroke{Kind: Sweep, On: on, Axis: axis, ForMS: 100, Light: 1,
			EdgeMM: rapid.SampledFrom([]float64{0, 3, 500}).Draw(t, "edge"), Ease: Ease(rapid.IntRange(0, 3).Draw(t, "ease"))}
		clear := sweep
		clear.Kind, clear.Light, clear.StartMS = Clear, 0, 150
		r := &Routine{Name: "r", LengthMS: 300, Strokes: []Stroke{sweep, clear}}
		for led := range on {
			before := 0.0
			for at := 0.0; at <= 300; at += 2.5 {
				light := r.At(led, at)
				if at < 150 && light < before-tol || at >= 150 && light > before+tol {
					t.Fatalf("LED %d at %v ms: %v after %v", led, at, light, before)
				}
				before = light
			}
			if r.At(led, 100) != 1 || r.At(led, 149) != 1 || r.At(led, 250) != 0 || r.At(led, 300) != 0 {
				t.Fatalf("LED %d is not lit or not cleared", led)
			}
		}
	})
}

// Strokes that leave nothing return to what is below, and act nowhere but in
// their region and time.
func TestPassingStrokesReturnToWhatIsBelow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		below := anyRoutine(t, stage)[0]
		below.LengthMS = 500
		on := rapid.SliceOfNDistinct(rapid.IntRange(0, stage.Len()-1), 1, stage.Len(), rapid.ID[int]).Draw(t, "on over")
		axis, err := stage.Axis(on, rapid.SampledFrom(mirrors()).Draw(t, "direction over"))
		if err != nil {
			t.Fatal(err)
		}
		over := Stroke{Kind: rapid.SampledFrom([]Kind{Pass, Swing, Beat, Hold, Scatter}).Draw(t, "over"), On: on, Axis: axis,
			StartMS: 100, ForMS: 200, Light: 0.7, BandMM: 20, EdgeMM: 5, EachMS: 50, Times: 1}
		if rapid.Bool().Draw(t, "over from") {
			over.From = new(float64)
		}
		with := &Routine{Name: "with", LengthMS: 500, Strokes: append(below.Strokes[:len(below.Strokes):len(below.Strokes)], over)}
		for led := range stage.Len() {
			for _, at := range []float64{0, 50, 99.9, 300, 301, 444, 500} {
				if a, b := with.At(led, at), below.At(led, at); !sameBits(a, b) {
					t.Fatalf("LED %d at %v ms: %v, below it %v", led, at, a, b)
				}
			}
		}
		in := make(map[int]bool)
		for _, led := range on {
			in[led] = true
		}
		for led := range stage.Len() {
			for _, at := range []float64{100, 150, 299} {
				if a, b := with.At(led, at), below.At(led, at); !in[led] && !sameBits(a, b) {
					t.Fatalf("LED %d outside the region at %v ms: %v, below it %v", led, at, a, b)
				}
			}
		}
	})
}

// Played backwards the light at t is that at length - t; twice backwards it is
// the routine again. Whole milliseconds, so that length - (length - t) is t.
func TestBackwards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		r := anyRoutine(t, stage)[0]
		r.LengthMS = float64(rapid.IntRange(1, 500).Draw(t, "whole length"))
		back := r.Reverse()
		twice := back.Reverse()
		if back.Length() != r.Length() {
			t.Fatalf("length %v, backwards %v", r.Length(), back.Length())
		}
		for _, ms := range []int{0, 1, rapid.IntRange(0, int(r.LengthMS)).Draw(t, "ms"), int(r.LengthMS) - 1, int(r.LengthMS)} {
			at := float64(ms)
			for led := range stage.Len() {
				if a, b := back.At(led, at), r.At(led, r.LengthMS-at); !sameBits(a, b) {
					t.Fatalf("LED %d at %v ms: backwards %v, want %v", led, at, a, b)
				}
				if a, b := twice.At(led, at), r.At(led, at); !sameBits(a, b) {
					t.Fatalf("LED %d at %v ms: twice backwards %v, want %v", led, at, a, b)
				}
			}
		}
	})
}

// Brighter never darkens and dimmer never brightens; over with full cover hides
// what is below. So a later stroke decides.
func TestOrderAndMeeting(t *testing.T) {
	const tol = 1e-12
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		below := anyRoutine(t, stage)[0]
		below.LengthMS = 400
		top := anyRoutine(t, stage)[0].Strokes[0]
		with := func(m Meet) *Routine {
			s := top
			s.Meets = m
			return &Routine{Name: "with", LengthMS: 400, Strokes: append(below.Strokes[:len(below.Strokes):len(below.Strokes)], s)}
		}
		brighter, dimmer, over := with(Brighter), with(Dimmer), with(Over)
		hold := &Routine{Name: "hold", LengthMS: 400, Strokes: append(below.Strokes[:len(below.Strokes):len(below.Strokes)],
			Stroke{Kind: Hold, On: everywhere(stage), Light: 0.5})}
		for _, at := range []float64{0, 4, 37, 200, 396} {
			for led := range stage.Len() {
				b := below.At(led, at)
				if brighter.At(led, at) < b-tol || dimmer.At(led, at) > b+tol {
					t.Fatalf("LED %d at %v ms: below %v, brighter %v, dimmer %v", led, at, b, brighter.At(led, at), dimmer.At(led, at))
				}
				if top.Kind != Call {
					least, most := min(b, dimmer.At(led, at)), max(b, brighter.At(led, at))
					if o := over.At(led, at); o < least-tol || o > most+tol {
						t.Fatalf("LED %d at %v ms: over %v is outside %v..%v", led, at, o, least, most)
					}
				}
				if h := hold.At(led, at); math.Abs(h-0.5) > tol {
					t.Fatalf("LED %d at %v ms: under a hold of 50 %% there is %v", led, at, h)
				}
			}
		}
	})
}

// In a stretched call the light at t is the light at t·length/stretched.
func TestStretch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		r := anyRoutine(t, stage)[0]
		r.LengthMS = 256
		to := rapid.SampledFrom([]float64{64, 128, 512, 1024}).Draw(t, "to") // exact ratios
		s := &Routine{Name: "s", Strokes: []Stroke{{Kind: Call, Called: r, ForMS: to}}}
		if s.Length() != to {
			t.Fatalf("length %v", s.Length())
		}
		for _, at := range []float64{0, 16, 60, to} {
			for led := range stage.Len() {
				if a, b := s.At(led, at), r.At(led, at*256/to); !sameBits(a, b) {
					t.Fatalf("LED %d at %v ms: %v, want %v", led, at, a, b)
				}
			}
		}
	})
}

// A repeat begins at its very start and not an instant earlier, however the
// sums round; at the routine's last instant it has not begun yet.
func TestRepeatsBeginOnTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		every := rapid.Float64Range(0.1, 5000).Draw(t, "every")
		s := Stroke{Kind: Sweep, StartMS: rapid.Float64Range(0, 5000).Draw(t, "start"), ForMS: every, Times: 200}
		n := rapid.IntRange(1, 199).Draw(t, "n")
		start := s.StartMS + float64(every*float64(n))
		if m := s.moment(start, false, every); m.repeat != n || m.sinceMS != 0 || m.u != 0 {
			t.Fatalf("at the start of repeat %d: %+v", n, m)
		}
		if m := s.moment(math.Nextafter(start, 0), false, every); m.repeat != n-1 {
			t.Fatalf("just before repeat %d: %+v", n, m)
		}
		if m := s.moment(start, true, every); m.repeat != n-1 {
			t.Fatalf("at the last instant, when repeat %d would begin: %+v", n, m)
		}
	})
}

// A call runs its routine from end to end, however the stretch rounds.
func TestCallReachesTheEnd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, takes := rapid.Float64Range(1, 5000).Draw(t, "length"), rapid.Float64Range(1, 5000).Draw(t, "takes")
		forward := Stroke{Kind: Call, ForMS: takes}
		back := Stroke{Kind: Call, ForMS: takes, Backwards: true}
		for _, since := range []float64{0, math.Nextafter(takes, 0), takes, rapid.Float64Range(0, takes).Draw(t, "since")} {
			a := forward.calledMS(moment{sinceMS: since}, length)
			if a < 0 || a > length || since == takes && a != length || since == 0 && a != 0 {
				t.Fatalf("%v of %v ms is %v of %v ms", since, takes, a, length)
			}
			if b := back.calledMS(moment{sinceMS: since}, length); b != length-a {
				t.Fatalf("backwards %v, forward %v of %v ms", b, a, length)
			}
		}
	})
}
