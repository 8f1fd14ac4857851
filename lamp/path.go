package lamp

import "math"

// Path is a light path: a line through a lamp along which light can travel.
type Path struct {
	Name   string
	Points []Point // corners, mm
	Closed bool    // the last corner is joined to the first
}

// tieMM is how much nearer, in mm, a later stretch of a path must be to win
// over an earlier one, and how far beside 12 o'clock an LED still counts as at
// 12 o'clock. It is far below any drawing's precision and far above rounding.
const tieMM = 0.001

// track is a path with its arc lengths worked out.
type track struct {
	corners []Point
	along   []float64 // arc length at each corner, mm
}

func (p Path) track() track {
	t := track{corners: p.Points}
	if p.Closed && len(p.Points) > 0 {
		t.corners = append(append([]Point(nil), p.Points...), p.Points[0])
	}
	t.along = make([]float64, len(t.corners))
	for i := 1; i < len(t.corners); i++ {
		t.along[i] = t.along[i-1] + distance(t.corners[i-1], t.corners[i])
	}
	return t
}

func (t track) length() float64 {
	if len(t.along) == 0 {
		return 0
	}
	return t.along[len(t.along)-1]
}

// LengthMM is the arc length of the whole path, the closing stretch included, mm.
func (p Path) LengthMM() float64 { return p.track().length() }

// At gives the point at an arc length from the start, mm. Lengths outside the
// path give its ends. A path needs at least one corner.
func (p Path) At(alongMM float64) Point { return p.track().at(alongMM) }

func (t track) at(alongMM float64) Point {
	if alongMM <= 0 {
		return t.corners[0]
	}
	if alongMM >= t.length() {
		return t.corners[len(t.corners)-1]
	}
	for i := 1; i < len(t.corners); i++ {
		if alongMM >= t.along[i] {
			continue
		}
		share := (alongMM - t.along[i-1]) / (t.along[i] - t.along[i-1])
		a, b := t.corners[i-1], t.corners[i]
		return Point{a.X + float64((b.X-a.X)*share), a.Y + float64((b.Y-a.Y)*share)}
	}
	return t.corners[len(t.corners)-1]
}

// Project gives the arc length of the point of the path that is nearest to p,
// and the distance to it, both in mm. Of points that are equally near, to
// within 0.001 mm, the one with the least arc length wins; so the joint of a
// closed path counts as its start.
func (p Path) Project(at Point) (alongMM, distanceMM float64) { return p.track().project(at) }

func (t track) project(p Point) (alongMM, distanceMM float64) {
	if len(t.corners) == 0 {
		return 0, math.Inf(1)
	}
	distanceMM = distance(p, t.corners[0])
	for i := 1; i < len(t.corners); i++ {
		share, d := nearest(p, t.corners[i-1], t.corners[i])
		if d < distanceMM-tieMM {
			alongMM = t.along[i-1] + float64((t.along[i]-t.along[i-1])*share)
			distanceMM = d
		} else if d < distanceMM && t.along[i-1] <= alongMM {
			// The same spot, seen better: the stretch goes on where the last one ended.
			alongMM = t.along[i-1] + float64((t.along[i]-t.along[i-1])*share)
			distanceMM = d
		}
	}
	return alongMM, distanceMM
}

// nearest gives the place of the nearest point on the stretch a-b, as a share
// 0..1 of its length, and the distance to it in mm.
func nearest(p, a, b Point) (share, distanceMM float64) {
	dx, dy := b.X-a.X, b.Y-a.Y
	square := float64(dx*dx) + float64(dy*dy)
	if square > 0 {
		dot := float64((p.X-a.X)*dx) + float64((p.Y-a.Y)*dy)
		share = min(max(dot/square, 0), 1)
	}
	foot := Point{a.X + float64(dx*share), a.Y + float64(dy*share)}
	return share, distance(p, foot)
}
