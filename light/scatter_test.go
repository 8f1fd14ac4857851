package light

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The hash is part of what a document means: these values must never change.
// They were worked out independently, see the shell line.
func TestHashIsFixed(t *testing.T) {
	// python3 -c 'def h(x):
	//  x^=x>>16; x=x*0x7feb352d&0xffffffff; x^=x>>15; x=x*0x846ca68b&0xffffffff; return x^x>>16'
	for x, want := range map[uint32]uint32{0: 0, 1: 0x688990c0, 2: 0xd1132181, 0xffffffff: 0x6768824a} {
		if got := hash32(x); got != want {
			t.Errorf("hash of %d: %#x, want %#x", x, got, want)
		}
	}
	if got := draw(7, 3, 5); got != 0x825bd1d3 {
		t.Errorf("draw %#x", got)
	}
}

func TestScatterFills(t *testing.T) {
	stage := row(t, 11)
	s := Stroke{Kind: Scatter, On: everywhere(stage), StartMS: 100, ForMS: 100, Light: 1, Seed: 3}
	r := &Routine{Name: "r", LengthMS: 1000, Strokes: []Stroke{s}}
	count := func(at float64) (n int) {
		for led := range stage.Len() {
			n += int(r.At(led, at)) // 0 or 1: a scatter has no half light
		}
		return n
	}
	for _, test := range []struct {
		at   float64
		want int
	}{{99, 0}, {100, 1}, {109.9, 1}, {110, 2}, {150, 6}, {199, 10}, {200, 11}, {1000, 11}} {
		if got := count(test.at); got != test.want {
			t.Errorf("%v ms: %d LEDs lit, want %d", test.at, got, test.want)
		}
	}
	order := ranksOf(&s, 0)
	if slices.IsSorted(order) {
		t.Errorf("nothing was shuffled: %v", order)
	}
	other := s
	other.Seed = 4
	if slices.Equal(order, ranksOf(&other, 0)) {
		t.Error("another seed gives the same order")
	}
	if slices.Equal(order, ranksOf(&s, 1)) {
		t.Error("a repeat gives the same order")
	}
}

func ranksOf(s *Stroke, repeat int) []float64 {
	_, n := s.parts()
	return s.ranks(repeat, n)
}

// Each part beats once, alone in its turn; parts that act together share it.
func TestScatterOfEach(t *testing.T) {
	stage := row(t, 6)
	s := Stroke{Kind: Scatter, On: everywhere(stage), Units: []int{9, 9, 4, 4, 9, 7}, ForMS: 300, EachMS: 100, Light: 1}
	r := &Routine{Name: "r", LengthMS: 400, Strokes: []Stroke{s}}
	ranks := ranksOf(&s, 0)
	if len(ranks) != 3 {
		t.Fatalf("%d parts, want 3", len(ranks))
	}
	partOf := []int{0, 0, 1, 1, 0, 2}
	for led := range stage.Len() {
		begin := 100 * ranks[partOf[led]]
		for _, test := range []struct{ after, want float64 }{{-1, 0}, {0, 0}, {25, 50}, {50, 100}, {75, 50}, {100, 0}, {101, 0}} {
			if got := lightness(r, led, begin+test.after); begin+test.after >= 0 && math.Abs(got-test.want) > 1e-9 {
				t.Errorf("LED %d, %v ms after its turn: L* %v, want %v", led, test.after, got, test.want)
			}
		}
	}
}

// A shuffle of any size is an order: every rank once. And it is even enough
// that no place is favoured.
func TestShuffle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Stroke{Seed: rapid.Uint32().Draw(t, "seed")}
		n := rapid.IntRange(1, 300).Draw(t, "n")
		ranks := s.ranks(rapid.IntRange(0, 1000).Draw(t, "repeat"), n)
		slices.Sort(ranks)
		for i, rank := range ranks {
			if rank != float64(i) {
				t.Fatalf("ranks %v", ranks)
			}
		}
	})
	const seeds, n = 4000, 8
	var first [n]int
	for seed := range uint32(seeds) {
		s := Stroke{Seed: seed}
		first[slices.Index(s.ranks(0, n), 0)]++
	}
	for part, count := range first {
		// The expected 500 with a standard deviation of √(4000·⅛·⅞) ≈ 21: five of them.
		if count < 395 || count > 605 {
			t.Errorf("part %d was first %d times of %d", part, count, seeds)
		}
	}
}

// The sampler shuffles anew at every repeat, and again when it goes back.
func TestSamplerShufflesEachRepeat(t *testing.T) {
	stage := row(t, 9)
	r := &Routine{Name: "r", Strokes: []Stroke{{Kind: Scatter, On: everywhere(stage), ForMS: 100, EachMS: 30, Light: 1, Seed: 1, Times: 3}}}
	sampler, err := NewSampler(stage, r, stage.Each())
	if err != nil {
		t.Fatal(err)
	}
	seen := make(map[int]bool)
	for _, at := range []float64{40, 140, 240, 40} {
		lights := sampler.At(at)
		brightest := 0
		for led, light := range lights {
			if want := r.At(led, at); light != want {
				t.Errorf("LED %d at %v ms: %v, want %v", led, at, light, want)
			}
			if light > lights[brightest] {
				brightest = led
			}
		}
		seen[brightest] = true
	}
	if len(seen) < 2 {
		t.Error("the same LED is brightest in every repeat")
	}
}
