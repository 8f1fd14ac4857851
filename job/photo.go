package job

import (
	"lampwright/report"
	"lampwright/source"
)

// Photo is a photograph of a lamp, laid under its drawing at true scale.
type Photo struct {
	source.At
	// The picture's file, beside the job file.
	File string `yaml:"file" long:"120"`
	// Points of the picture whose places are known: two give scale and turn, four the perspective as well.
	Known []KnownPoint `yaml:"known,omitempty" least:"2" most:"4"`
}

// KnownPoint is a point of a photograph whose place on the lamp is known.
type KnownPoint struct {
	source.At
	// The point in the picture, in pixels from its upper left corner, to the right and down.
	Pixel Pixel `yaml:"pixel"`
	// Its place in the lamp's drawing.
	Point Point `yaml:"at"`
}

// Pixel is a place in a picture: pixels to the right and down.
type Pixel struct{ X, Y float64 }

// PixelLimit bounds both numbers of a pixel.
const PixelLimit = 100_000

// DecodeSource reads [x, y].
func (p *Pixel) DecodeSource(v source.Value) {
	const expected = "two numbers of pixels, as in [812, 340.5]"
	items := v.Items()
	if v.Kind() != source.List || len(items) != 2 {
		v.Fail("", expected)
		return
	}
	for i, into := range []*float64{&p.X, &p.Y} {
		n, ok := items[i].Number()
		if !ok {
			items[i].Fail("", expected)
			return
		}
		if n < 0 || n > PixelLimit {
			items[i].Report(report.Errorf("out-of-range", items[i].Place(), "%s lies in no picture", items[i].What()).
				Expect("0 to 100000 pixels").Do("point at it in the picture"))
			return
		}
		*into = n
	}
}

// Shape describes two numbers of pixels.
func (*Pixel) Shape() source.Shape {
	one := source.Shape{Kind: source.ShapeNumber, Says: "a number of pixels"}
	return source.Shape{Kind: source.ShapeList, Elem: &one, Least: 2, Most: 2}
}
