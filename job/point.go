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
	items, ok := pair(v, expected)
	if !ok {
		return
	}
	p.X, p.Y = coordinate(items[0]), coordinate(items[1])
}

// pair reads a list of two values.
func pair(v source.Value, expected string) ([]source.Value, bool) {
	items := v.Items()
	if v.Kind() != source.List {
		v.Fail("", expected)
		return nil, false
	}
	if len(items) != 2 {
		v.Report(report.Errorf("wrong-kind", v.Place(), "%s holds %d values, and two belong there", v.What(), len(items)).
			Expect("%s", expected).Do("write two, with a point for decimals, as in 1.5"))
		return nil, false
	}
	return items, true
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
