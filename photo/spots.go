package photo

import (
	"image"
	"math"
	"sort"
)

// Spot is a bright place of a photograph, in pixels of the upright picture.
type Spot struct {
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
	Size float64 `json:"size"` // diameter of a circle of its area
}

// MostSpots bounds how many spots are given, the largest first.
const MostSpots = 2000

// leastPixels is the smallest area of a spot; smaller ones are noise of the camera.
const leastPixels = 4

// Spots finds what is at least as bright as a share (0..1) of the brightest pixel, connected pixels being one spot; their centre is that of
// their light. The order is by rows of the picture.
func (p *Photo) Spots(atLeast float64) []Spot {
	light, width, height := luminance(p.Image)
	var most uint8
	for _, v := range light {
		most = max(most, v)
	}
	limit := uint8(max(1, math.Ceil(float64(most)*min(max(atLeast, 0), 1))))
	if most == 0 {
		return nil
	}
	sets := newSets(len(light))
	for y := range height {
		for x := range width {
			i := y*width + x
			if light[i] < limit {
				continue
			}
			if x > 0 && light[i-1] >= limit {
				sets.join(i, i-1)
			}
			if y > 0 && light[i-width] >= limit {
				sets.join(i, i-width)
			}
		}
	}
	type sum struct{ x, y, light, area float64 }
	sums := map[int32]*sum{}
	for i, v := range light {
		if v < limit {
			continue
		}
		root := sets.root(int32(i))
		s := sums[root]
		if s == nil {
			s = &sum{}
			sums[root] = s
		}
		w := float64(v)
		s.x += w * (float64(i%width) + 0.5)
		s.y += w * (float64(i/width) + 0.5)
		s.light += w
		s.area++
	}
	var spots []Spot
	for _, s := range sums {
		if s.area >= leastPixels {
			x, y := p.Turned.Upright(s.x/s.light, s.y/s.light, float64(width), float64(height))
			spots = append(spots, Spot{x, y, 2 * math.Sqrt(s.area/math.Pi)})
		}
	}
	before := func(a, b Spot) bool { return a.Y < b.Y || a.Y == b.Y && a.X < b.X }
	if len(spots) > MostSpots {
		sort.Slice(spots, func(i, k int) bool {
			return spots[i].Size > spots[k].Size || spots[i].Size == spots[k].Size && before(spots[i], spots[k])
		})
		spots = spots[:MostSpots]
	}
	sort.Slice(spots, func(i, k int) bool { return before(spots[i], spots[k]) })
	return spots
}

// luminance gives the picture in grey, row by row. Weights: ITU-R BT.601, as image/color has them.
func luminance(m image.Image) (light []uint8, width, height int) {
	b := m.Bounds()
	width, height = b.Dx(), b.Dy()
	light = make([]uint8, width*height)
	if y, ok := m.(*image.YCbCr); ok { // what a JPEG is: its grey is there already
		for row := range height {
			copy(light[row*width:], y.Y[y.YOffset(b.Min.X, b.Min.Y+row):][:width])
		}
		return light, width, height
	}
	for row := range height {
		for column := range width {
			r, g, bl, _ := m.At(b.Min.X+column, b.Min.Y+row).RGBA()
			light[row*width+column] = uint8((19595*r + 38470*g + 7471*bl + 1<<15) >> 24)
		}
	}
	return light, width, height
}

// sets is a union-find over pixels, with path halving. Source: Tarjan and van Leeuwen, Worst-case Analysis of Set Union Algorithms, 1984.
type sets []int32

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func (s sets) root(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(a, b int) {
	ra, rb := s.root(int32(a)), s.root(int32(b))
	if ra != rb {
		s[max(ra, rb)] = min(ra, rb)
	}
}
