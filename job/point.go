package job

import (
	"math"
	"strconv"

	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

// PointLimitMM is the largest coordinate of a lamp's drawing, in millimetres.
const PointLimitMM = 5000

// Point is a point of a lamp's drawing: x to the right, y up, seen from
// outside in front of its face. Bare numbers are millimetres.
type Point struct {
	X, Y  units.Length
	Where report.Place
}

// DecodeSource reads [x, y].
func (p *Point) DecodeSource(v source.Value) {
	const expected = "a point [x, y] in millimetres, as in [6, 12]"
	p.Where = v.Place()
	items := v.Items()
	if v.Kind() != source.List || len(items) != 2 {
		v.Fail("", expected)
		return
	}
	p.X, p.Y = coordinate(items[0]), coordinate(items[1])
}

// coordinate reads a bare number of millimetres or a length with its unit.
func coordinate(v source.Value) units.Length {
	var length units.Length
	if number, bare := v.Number(); bare {
		length = units.Length(number)
	} else {
		v.Into(&length)
	}
	if math.Abs(float64(length)) > PointLimitMM {
		v.Fail("it lies far outside any lamp", "a number of millimetres between -"+strconv.Itoa(PointLimitMM)+" and "+strconv.Itoa(PointLimitMM))
		return 0
	}
	return length
}
