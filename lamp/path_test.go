package lamp

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestProject(t *testing.T) {
	bend := Path{Points: []Point{{0, 0}, {100, 0}, {100, 50}}}
	loop := Path{Points: []Point{{0, 0}, {40, 0}, {40, 40}, {0, 40}}, Closed: true}
	tests := []struct {
		name            string
		path            Path
		at              Point
		along, distance float64
	}{
		{"on the first stretch", bend, Point{30, 0}, 30, 0},
		{"beside the second", bend, Point{107, 20}, 120, 7},
		{"before the start", bend, Point{-3, 4}, 0, 5},
		{"beyond the end", bend, Point{103, 54}, 150, 5},
		{"outside the bend", bend, Point{103, -4}, 100, 5},
		{"equally near to both: the earlier", bend, Point{90, 10}, 90, 10},
		{"the joint is the start", loop, Point{0, 0}, 0, 0},
		{"just before the joint", loop, Point{0, 10}, 150, 0},
		{"the middle is near to all: the earliest", loop, Point{20, 20}, 20, 20},
		{"a path of one corner", Path{Points: []Point{{3, 4}}}, Point{0, 0}, 0, 5},
		{"a short stretch that is hardly nearer", Path{Points: []Point{{0, 0}, {10, 0}, {10.03, 0}}}, Point{10.02, 5}, 10.02, 5},
		{"a corner given twice", Path{Points: []Point{{0, 0}, {0, 0}, {10, 0}}}, Point{4, 3}, 4, 3},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			along, d := test.path.Project(test.at)
			if math.Abs(along-test.along) > 1e-9 || math.Abs(d-test.distance) > 1e-9 {
				t.Errorf("along %v, distance %v mm, want %v, %v", along, d, test.along, test.distance)
			}
		})
	}
	if _, d := (Path{}).Project(Point{}); !math.IsInf(d, 1) {
		t.Errorf("a path without corners is %v mm away", d)
	}
	if got := loop.LengthMM(); got != 160 {
		t.Errorf("loop is %v mm long", got)
	}
}

// The nearest point that Project finds is on the path, at the distance it
// gives, and no point of a dense sample of the path is nearer.
func TestProjectFindsTheNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := Path{Points: rapid.SliceOfN(anyPoint(), 2, 7).Draw(t, "corners"), Closed: rapid.Bool().Draw(t, "closed")}
		p := anyPoint().Draw(t, "point")
		along, d := path.Project(p)
		if got := distance(p, path.At(along)); math.Abs(got-d) > tieMM {
			t.Fatalf("the point at %v mm is %v mm away, not %v", along, got, d)
		}
		length := path.LengthMM()
		for i := range 200 {
			s := length * float64(i) / 199
			if near := distance(p, path.At(s)); near < d-tieMM {
				t.Fatalf("the point at %v mm is nearer: %v mm, not %v", s, near, d)
			}
		}
	})
}
