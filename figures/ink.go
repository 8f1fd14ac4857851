package figures

import (
	"image"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// Letters come from the Go fonts, which travel with golang.org/x/image: the same on every machine. They hold the Latin, Greek
// and Cyrillic letters; others show as an empty box.
var (
	smallFace = face(goregular.TTF, 13)
	headFace  = face(gomedium.TTF, 14)
	clockFace = face(gomono.TTF, 15)
)

func face(data []byte, size float64) font.Face {
	parsed, err := opentype.Parse(data)
	if err != nil {
		panic("figures: the Go font does not parse: " + err.Error())
	}
	f, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic("figures: the Go font gives no face: " + err.Error())
	}
	return f
}

// pen writes: it says which dots get how much ink.
type pen struct {
	width, height int
	drop          func(at int, ink rgb, share float64)
}

// on is a pen that writes into palette entries at once.
func (p *palette) on(pix []uint8, width, height int) pen {
	return pen{width, height, func(at int, ink rgb, share float64) { pix[at] = p.over(pix[at], ink, share) }}
}

// textWidth is the width of a text, dots.
func textWidth(f font.Face, text string) float64 { return float64(font.MeasureString(f, text)) / 64 }

func (k pen) left(f font.Face, text string, x, y float64, colour rgb) { k.write(f, text, x, y, colour) }

func (k pen) middle(f font.Face, text string, x, y float64, colour rgb) {
	k.write(f, text, x-textWidth(f, text)/2, y, colour)
}

func (k pen) right(f font.Face, text string, x, y float64, colour rgb) {
	k.write(f, text, x-textWidth(f, text), y, colour)
}

// write sets a text with its upper left corner at x, y.
func (k pen) write(f font.Face, text string, x, y float64, colour rgb) {
	text = strings.Map(func(r rune) rune {
		if r < ' ' {
			return ' '
		}
		return r
	}, text)
	metrics := f.Metrics()
	height := (metrics.Ascent + metrics.Descent).Ceil() + 1
	mask := image.NewAlpha(image.Rect(0, 0, int(textWidth(f, text))+4, height))
	whole := int(x)
	d := font.Drawer{Dst: mask, Src: image.Opaque, Face: f, Dot: fixed.Point26_6{X: fixed.Int26_6((x-float64(whole))*64) + 64, Y: metrics.Ascent}}
	d.DrawString(text)
	for row := range mask.Rect.Dy() {
		for col := range mask.Rect.Dx() {
			share := mask.AlphaAt(col, row).A
			px, py := whole+col-1, int(y)+row
			if share == 0 || px < 0 || px >= k.width || py < 0 || py >= k.height {
				continue
			}
			k.drop(py*k.width+px, colour, float64(share)/255)
		}
	}
}
