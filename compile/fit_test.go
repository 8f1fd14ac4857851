package compile

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"lampwright/units"
)

// play shows what the engine shows: levels at ticks 0..last, by the rules of docs/engine.md, section 4.2, written from there.
func play(fades []fade, last int) []int32 {
	shown := make([]int32, last+1)
	cur, step, target, left := int32(0), int32(0), int32(0), 0
	next := 0
	for t := range shown {
		if left > 0 {
			if left--; left == 0 {
				cur = target * 256
			} else {
				cur += step
			}
		}
		for ; next < len(fades) && fades[next].Tick == t; next++ {
			f := fades[next]
			if f.Ticks == 0 {
				cur, left = int32(f.Level)*256, 0
				continue
			}
			target, left = int32(f.Level), f.Ticks
			d := int64(target)*256 - int64(cur)
			q := int64(65535 / f.Ticks)
			if d < 0 {
				step = -int32((-d * q) >> 16)
			} else {
				step = int32((d * q) >> 16)
			}
		}
		shown[t] = cur >> 8
	}
	return shown
}

func worstMiss(fades []fade, samples []int32) int32 {
	worst := int32(0)
	for t, level := range play(fades, len(samples)-1) {
		worst = max(worst, near(level*256, samples[t]))
	}
	return worst
}

// checkFades fails if a fade starts while another runs, outlives the routine, or a level rests that may not.
func checkFades(t interface{ Fatalf(string, ...any) }, fades []fade, samples []int32, loops bool) {
	end, level := 0, int32(0)
	last := len(samples) - 1
	if loops {
		last++
	}
	for _, f := range fades {
		if f.Tick < end {
			t.Fatalf("fade at %d starts before %d: %v", f.Tick, end, fades)
		}
		if gap := f.Tick - end; (gap > 1 || gap == 1 && f.Ticks > 0) && !mayRest(level) {
			t.Fatalf("level %d rests from %d to %d: %v", level, end, f.Tick, fades)
		}
		end, level = f.Tick+f.Ticks, int32(f.Level)
		if end > last {
			t.Fatalf("fade ends at %d of %d", end, last)
		}
	}
}

// fewestByTrial finds the fewest fades without any of the fitter's ideas: every fade of every length to every level in reach
// is played by the engine's rule and its ticks are compared, in order of time. Only holds of levels that may rest are taken.
func fewestByTrial(samples []int32, tolerance int32, loops, full bool) int {
	last := len(samples) - 1
	end := last
	if loops {
		end++
	}
	fits := func(t int, shown int32) bool {
		return t > last || near(shown*256, samples[t]) <= tolerance && (shown == 255 || !full || !restsFull(samples, t, loops))
	}
	top := int32(0)
	for _, y := range samples {
		top = max(top, y/256)
	}
	top = min(255, top*2+10)
	const never = 1 << 30
	// pre[t][l]: fewest fades to stand at level l at tick t, before the events of the tick.
	pre := make([][]int, end+1)
	for t := range pre {
		pre[t] = make([]int, top+1)
		for l := range pre[t] {
			pre[t][l] = never
		}
	}
	pre[0][0] = 0
	rested := make([][]bool, end+1) // the level was shown at t-1 and rested since
	for t := range rested {
		rested[t] = make([]bool, top+1)
	}
	best := never
	for t := 0; t <= end; t++ {
		post := make([]int, top+1)
		kept := make([]int, top+1)
		for l := range post {
			kept[l] = pre[t][l]
			post[l] = kept[l]
			for from := range post {
				if from != l {
					post[l] = min(post[l], pre[t][from]+1)
				}
			}
		}
		for l := range post {
			if post[l] >= never || !fits(t, int32(l)) {
				continue
			}
			if t == end {
				if loops || mayRest(int32(l)) {
					best = min(best, post[l])
				}
				continue
			}
			if mayRest(int32(l)) || loops && t+1 == end {
				pre[t+1][l] = min(pre[t+1][l], post[l])
			}
			// Next event at t+1 although the level may not rest: only a jump elsewhere.
			for to := int32(0); to <= top; to++ {
				if to != int32(l) && t+1 <= last && fits(t+1, to) {
					// post state at t+1 by jump: as a fade of one tick that ends there
					pre[t+1][to] = min(pre[t+1][to], post[l]+1)
				}
			}
			for to := int32(0); to <= top; to++ {
				if to == int32(l) {
					continue
				}
				for F := 1; t+F <= end; F++ {
					shown := play([]fade{{Tick: 0, Level: uint8(l)}, {Tick: 0, Level: uint8(to), Ticks: F}}, F)
					ok := true
					for j := 1; j < F && ok; j++ {
						ok = fits(t+j, shown[j])
					}
					if ok {
						pre[t+F][to] = min(pre[t+F][to], post[l]+1)
					}
				}
			}
		}
	}
	return best
}

// drawSamples draws levels that move a little, with rests and leaps, near the given height.
func drawSamples(t *rapid.T, n int, base int32) []int32 {
	samples := make([]int32, n)
	y := base * 256
	for i := range samples {
		switch rapid.IntRange(0, 3).Draw(t, "what") {
		case 1:
			y += rapid.Int32Range(-900, 900).Draw(t, "move")
		case 2:
			y = rapid.Int32Range(0, (base+12)*256).Draw(t, "leap")
			if base > 240 {
				y = 255 * 256
			}
		}
		y = min(max(y, 0), 255*256)
		samples[i] = y
	}
	return samples
}

func TestFitIsMinimalAgainstTrialOfEverything(t *testing.T) {
	var f fitter
	rapid.Check(t, func(t *rapid.T) {
		base := rapid.SampledFrom([]int32{0, 4, 20, 30, 252}).Draw(t, "base")
		samples := drawSamples(t, rapid.IntRange(1, 24).Draw(t, "ticks"), base)
		loops := rapid.Bool().Draw(t, "loops")
		if !loops { // the last level stays, so it must be one that may
			samples[len(samples)-1] = nearestRest(samples[len(samples)-1])
		}
		tolerance := rapid.SampledFrom([]int32{256, 300, 512, 700}).Draw(t, "tolerance")
		full := rapid.Bool().Draw(t, "full")
		fades := f.fit(samples, tolerance, loops, full)
		checkFades(t, fades, samples, loops)
		if worst := worstMiss(fades, samples); worst > tolerance {
			t.Fatalf("worst %d of %d: %v for %v", worst, tolerance, fades, samples)
		}
		if want := fewestByTrial(samples, tolerance, loops, full); len(fades) != want {
			t.Fatalf("%d fades, trial finds %d: %v for %v tolerance %d loops %v", len(fades), want, fades, samples, tolerance, loops)
		}
	})
}

func TestFitKeepsItsErrorOnLongSequences(t *testing.T) {
	var f fitter
	rapid.Check(t, func(t *rapid.T) {
		samples := drawSamples(t, rapid.IntRange(1, 700).Draw(t, "ticks"), rapid.Int32Range(0, 240).Draw(t, "base"))
		loops := rapid.Bool().Draw(t, "loops")
		full := rapid.Bool().Draw(t, "full")
		fades := f.fit(samples, 256, loops, full)
		if worst := worstMiss(fades, samples); worst > 256 {
			t.Fatalf("worst %d: %v for %v", worst, fades, samples)
		}
		if loops || mayRest(samples[len(samples)-1]/256) {
			checkFades(t, fades, samples, loops)
		}
		again := new(fitter).fit(samples, 256, loops, full)
		if fmt.Sprint(again) != fmt.Sprint(fades) {
			t.Fatalf("another run gives other fades")
		}
	})
}

func TestFitKnownShapes(t *testing.T) {
	ramp := func(from, to float64, n int) (s []int32) {
		for k := range n {
			s = append(s, int32(math.Round((from+(to-from)*float64(k)/float64(n-1))*256)))
		}
		return s
	}
	constant := func(level int32, n int) []int32 {
		s := make([]int32, n)
		for i := range s {
			s[i] = level * 256
		}
		return s
	}
	join := func(parts ...[]int32) (s []int32) {
		for _, p := range parts {
			s = append(s, p...)
		}
		return s
	}
	for _, c := range []struct {
		name    string
		samples []int32
		loops   bool
		fades   int
	}{
		{"dark", constant(0, 1000), false, 0},
		{"full", constant(255, 5000), false, 1},
		{"ramp", ramp(0, 255, 86), false, 1},
		{"ramp and stay", join(ramp(0, 255, 86), constant(255, 3000)), false, 1},
		{"up and down", join(ramp(0, 200, 51), ramp(200, 0, 51)[1:]), false, 2},
		{"saw that loops", ramp(0, 252.4, 200), true, 1},
		{"two saws", join(ramp(0, 245, 50), ramp(0, 245, 50)), false, 3},
		{"longer than one fade can be", ramp(0, 255, 1001), false, 4},
	} {
		var f fitter
		if fades := f.fit(c.samples, 256, c.loops, true); len(fades) != c.fades {
			t.Errorf("%s: %d fades, want %d: %v", c.name, len(fades), c.fades, fades)
		}
	}
}

// The levels that may rest by docs/engine.md, section 2, worked out there by duty: 0, 8 and 16 of 2047.
func TestRestLevels(t *testing.T) {
	if fmt.Sprint(restLevels) != "[0 9 18]" {
		t.Errorf("levels that may rest: %v", restLevels)
	}
	for _, c := range []struct{ level, rest int32 }{{0, 0}, {256, 0}, {4 * 256, 0}, {1152, 9 * 256}, {13*256 + 127, 9 * 256}, {13*256 + 128, 18 * 256}, {18 * 256, 18 * 256}, {5000, 5000}} {
		if got := nearestRest(c.level); got != c.rest {
			t.Errorf("nearest to %d: %d, want %d", c.level, got, c.rest)
		}
	}
	var light []float64
	for _, level := range []float64{0, 3, 3, 3.5, 6, 6, 20.25, 20.25, 12} {
		light = append(light, units.Luminance(level*100/255))
	}
	got, moved := snapRests(light, true)
	if want := []int32{0, 0, 0, 896, 9 * 256, 9 * 256, 5184, 5184, 9 * 256}; fmt.Sprint(got) != fmt.Sprint(want) || moved != 3*256 {
		t.Errorf("snapped to %v (moved %d), want %v", got, moved, want)
	}
}

func TestLevelOfIsTheNearestLightness(t *testing.T) {
	for n := range int32(topLevel*unit + 1) {
		if got := levelOf(units.Luminance(float64(n) * 100 / (topLevel * unit))); got != n {
			t.Fatalf("light of %d/256 level gives %d", n, got)
		}
	}
	for _, c := range []struct {
		share float64
		level int32
	}{{-1, 0}, {0, 0}, {1, 255 * 256}, {1.0000001, 255 * 256}} {
		if got := levelOf(c.share); got != c.level {
			t.Errorf("light %v gives %d", c.share, got)
		}
	}
}

// swell is the lightness of a soft band that passes slowly and comes back, a shape with curved flanks and rests.
func swell(n int) []int32 {
	s := make([]int32, n)
	for k := range s {
		x := math.Mod(float64(k), 625) / 625
		light := max(0, 1-math.Abs(x-0.5)*4)
		s[k] = int32(math.Round(255 * math.Sqrt(light) * 256))
	}
	return s
}

func BenchmarkFit(b *testing.B) {
	sine := func(n int) []int32 {
		s := make([]int32, n)
		for k := range s {
			s[k] = int32(127 * 256 * (1 + math.Sin(float64(k)/40)))
		}
		return s
	}
	for _, n := range []int{1000, 10_000, 60_000} {
		b.Run(fmt.Sprintf("swell/%d", n), func(b *testing.B) {
			var f fitter
			s := swell(n)
			for b.Loop() {
				f.fit(s, 256, true, true)
			}
		})
		b.Run(fmt.Sprintf("sine/%d", n), func(b *testing.B) {
			var f fitter
			s := sine(n)
			for b.Loop() {
				f.fit(s, 256, true, true)
			}
		})
	}
}
