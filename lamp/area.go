package lamp

import (
	"cmp"
	"math"
	"slices"
)

// A lit area is summed over scan lines: linesAcross to the radius of a spot, by
// which a single spot comes out within 0.1 %, but at least fewLines and, over a
// tall lamp with small spots, at most manyLines in all.
const (
	linesAcross = 64
	fewLines    = 512
	manyLines   = 20000
)

// LitAreaMM2 estimates the lit area of LEDs (nil: all), mm²: each lights the
// spot within spotMM of itself (about half the distance to the next LED behind
// a diffusing lens), spots that overlap count once, and what falls outside the
// outline counts not at all. It is geometry, not the apparent surface that a
// test house measures; the lens decides that.
//
// The area is summed over horizontal scan lines, on which spots and outline
// are exact.
func (l *Lamp) LitAreaMM2(leds []int, spotMM float64) float64 {
	box, ok := l.BoundsOf(leds)
	if !ok || !(spotMM > 0) {
		return 0
	}
	bottom, top := box.Min.Y-spotMM, box.Max.Y+spotMM
	if len(l.Outline) >= 3 {
		face, _ := BoxOf(l.Outline)
		bottom, top = max(bottom, face.Min.Y), min(top, face.Max.Y)
	}
	height := top - bottom
	if !(height > 0) {
		return 0
	}
	lines := int(min(max(height/spotMM*linesAcross, fewLines), manyLines))
	step := height / float64(lines)
	centres := l.positions(leds)
	slices.SortFunc(centres, func(a, b Point) int { return cmp.Compare(a.Y, b.Y) })
	sum, first := 0.0, 0
	var lit, face []span
	for i := range lines {
		y := bottom + float64((float64(i)+0.5)*step)
		for first < len(centres) && centres[first].Y < y-spotMM {
			first++
		}
		lit = lit[:0]
		for _, c := range centres[first:] {
			if c.Y > y+spotMM {
				break
			}
			up := y - c.Y
			if square := float64(spotMM*spotMM) - float64(up*up); square > 0 {
				half := math.Sqrt(square)
				lit = append(lit, span{c.X - half, c.X + half})
			}
		}
		lit = union(lit)
		if len(l.Outline) < 3 {
			face = append(face[:0], span{math.Inf(-1), math.Inf(1)})
		} else {
			face = cut(face[:0], l.Outline, y)
		}
		sum += overlap(lit, face)
	}
	return float64(sum * step)
}

// span is a stretch of a scan line, mm.
type span struct{ from, to float64 }

// union joins spans that overlap; the result is sorted and apart.
func union(spans []span) []span {
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	out := spans[:0]
	for _, s := range spans {
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = max(out[n-1].to, s.to)
		} else {
			out = append(out, s)
		}
	}
	return out
}

// cut gives the spans of the line at height y that lie inside a polygon.
func cut(spans []span, polygon []Point, y float64) []span {
	var xs []float64
	for i, b := range polygon {
		a := polygon[(i+len(polygon)-1)%len(polygon)]
		if (a.Y > y) != (b.Y > y) {
			xs = append(xs, a.X+float64((b.X-a.X)*(y-a.Y))/(b.Y-a.Y))
		}
	}
	slices.Sort(xs)
	for i := 0; i+1 < len(xs); i += 2 {
		spans = append(spans, span{xs[i], xs[i+1]})
	}
	return spans
}

// overlap is the length that two sorted lists of spans have in common, mm.
func overlap(a, b []span) float64 {
	sum := 0.0
	for len(a) > 0 && len(b) > 0 {
		if from, to := max(a[0].from, b[0].from), min(a[0].to, b[0].to); to > from {
			sum += to - from
		}
		if a[0].to < b[0].to {
			a = a[1:]
		} else {
			b = b[1:]
		}
	}
	return sum
}

// PitchMM is the middle value of the distances from each LED (nil: all) to its
// nearest neighbour, mm; 0 for fewer than two LEDs. Half of it is a fair spot
// for LitAreaMM2.
func (l *Lamp) PitchMM(leds []int) float64 {
	points := l.positions(leds)
	if len(points) < 2 {
		return 0
	}
	// Sorted by x, a neighbour further off in x than the best so far cannot be nearer.
	slices.SortStableFunc(points, func(a, b Point) int {
		switch {
		case a.X < b.X:
			return -1
		case a.X > b.X:
			return 1
		}
		return 0
	})
	nearest := make([]float64, len(points))
	for i, p := range points {
		best := math.Inf(1)
		for j := i + 1; j < len(points) && points[j].X-p.X < best; j++ {
			best = min(best, distance(p, points[j]))
		}
		for j := i - 1; j >= 0 && p.X-points[j].X < best; j-- {
			best = min(best, distance(p, points[j]))
		}
		nearest[i] = best
	}
	slices.Sort(nearest)
	return nearest[len(nearest)/2]
}

// GapMM is the least distance between an LED of a and an LED of b, mm; it is
// false if one of them is empty.
func (l *Lamp) GapMM(a, b []int) (mm float64, ok bool) {
	mm = math.Inf(1)
	for _, i := range a {
		for _, j := range b {
			mm = min(mm, distance(l.LEDs[i].At, l.LEDs[j].At))
		}
	}
	return mm, !math.IsInf(mm, 1)
}

// Centroid is the mean position of LEDs in the lamp's plane, mm; it is false
// if there are none. The centroids of the groups of a zone, in the order in
// which they light, are the line along which a movement is seen.
func (l *Lamp) Centroid(leds []int) (Point, bool) {
	if len(leds) == 0 {
		return Point{}, false
	}
	var sum Point
	for _, led := range leds {
		sum.X += l.LEDs[led].At.X
		sum.Y += l.LEDs[led].At.Y
	}
	n := float64(len(leds))
	return Point{sum.X / n, sum.Y / n}, true
}
