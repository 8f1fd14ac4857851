package figures

import (
	"fmt"
	"image"
	"math"
	"slices"
)

// caption is the strip below the lamps: the time, and every input with a mark that is filled while it is pressed, so that it
// can be read without colour too.
type caption struct {
	top, bottom int // dots
	width       int
	places      []inputPlace
}

type inputPlace struct {
	name string
	x, y float64 // middle of the mark
}

// Measures of the caption, dots.
const (
	markRadius = 4.5
	markGap    = 7.0  // from mark to name
	inputGap   = 26.0 // from name to next mark
)

// newCaption sets the inputs in as many lines as they need, to the right of the time.
func newCaption(o PictureOptions, width, top int) caption {
	c := caption{top: top, width: width}
	first := lineHeight + textWidth(clockFace, "0000.000 s") + inputGap
	x, y := first, float64(top)+lineHeight
	for _, name := range o.Inputs {
		need := 2*markRadius + markGap + textWidth(smallFace, name)
		if x > first && x+need > float64(width)-lineHeight {
			x, y = first, y+lineHeight*1.2
		}
		c.places = append(c.places, inputPlace{name, x + markRadius, y})
		x += need + inputGap
	}
	c.bottom = int(math.Ceil(y + lineHeight*0.9))
	return c
}

// draw writes the strip for a frame.
func (c caption) draw(out *image.Paletted, f Frame, p *palette) {
	k := p.on(out.Pix, out.Rect.Dx(), out.Rect.Dy())
	k.right(clockFace, fmt.Sprintf("%.3f s", f.At.Seconds()), lineHeight+textWidth(clockFace, "0000.000 s"), float64(c.top)+lineHeight-10, writing)
	for _, place := range c.places {
		pressed := slices.Contains(f.Pressed, place.name)
		colour := faint
		if pressed {
			colour = writing
		}
		k.mark(place.x, place.y, pressed, colour)
		k.left(smallFace, place.name, place.x+markRadius+markGap, place.y-8, colour)
	}
}

// mark draws a disc or a ring.
func (k pen) mark(x, y float64, filled bool, colour rgb) {
	for row := int(y - markRadius - 1); row <= int(y+markRadius+1); row++ {
		for col := int(x - markRadius - 1); col <= int(x+markRadius+1); col++ {
			if row < 0 || row >= k.height || col < 0 || col >= k.width {
				continue
			}
			away := math.Hypot(float64(col)+0.5-x, float64(row)+0.5-y)
			share := min(max(markRadius+0.5-away, 0), 1)
			if !filled {
				share -= min(max(markRadius-1-away, 0), 1)
			}
			if share > 0 {
				k.drop(row*k.width+col, colour, share)
			}
		}
	}
}
