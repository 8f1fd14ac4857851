package figures

import (
	"image"
	"math"
	"slices"

	"lampwright/lamp"
)

// PictureOptions say how a picture is drawn.
type PictureOptions struct {
	Width  int      // most width, picture elements; 0: DefaultWidth
	Title  string   // above the lamps
	Inputs []string // named below the lamps in this order, bright while pressed
}

// Sizes of a picture, picture elements.
const (
	DefaultWidth = 1280
	MinWidth     = 240
	MaxWidth     = 4096

	heightShare = 0.75 // most height for its width
	lineHeight  = 20.0 // one line of text
	charWidth   = 7.2  // a letter of a name, on the average
	mostPitch   = 22.0 // from LED to LED: small lamps are not blown up beyond it
)

// Picture draws frames as rasters of one palette.
type Picture struct {
	scene   *Scene
	options PictureOptions
	palette *palette
	drawn   []drop   // outlines and writing, over the light
	layers  []*layer // light by colour
	width   int
	height  int
	caption caption
}

// layer is the light of all LEDs of one colour.
type layer struct {
	colour int
	off    []float32 // light of the dark LEDs, so that one sees them
	sum    []float32 // scratch: the light of the frame
	groups []stamp
}

// stamp is the light that one group throws, wholly on.
type stamp struct {
	lamp, group int
	at          image.Rectangle
	light       []float32 // row by row of at
}

// NewPicture lays lamps out for pictures.
func NewPicture(lamps []*lamp.Lamp, o PictureOptions) *Picture {
	if o.Width == 0 {
		o.Width = DefaultWidth
	}
	o.Width = min(max(o.Width, MinWidth), MaxWidth)
	p := &Picture{options: o}
	width := float64(o.Width)
	p.scene = Arrange(lamps, Sheet{Width: width, Height: width * heightShare, Char: charWidth, Line: lineHeight, Pitch: mostPitch})
	p.width = max(int(math.Ceil(p.scene.Width)), MinWidth)
	p.caption = newCaption(o, p.width, int(math.Ceil(p.scene.Height)))
	p.height = p.caption.bottom
	p.palette = newPalette(coloursOf(p.scene))
	p.drawBase()
	p.layLight()
	return p
}

// Bounds is the size of every picture.
func (p *Picture) Bounds() image.Rectangle { return image.Rect(0, 0, p.width, p.height) }

// coloursOf gives the LED colours of a scene, in the order of first use, and the pairs that stand in one lamp.
func coloursOf(s *Scene) (names []string, pairs [][2]int) {
	for _, l := range s.Lamps {
		var here []int
		for _, led := range l.LEDs {
			number := slices.Index(names, led.Colour)
			if number < 0 {
				number = len(names)
				names = append(names, led.Colour)
			}
			if slices.Contains(here, number) {
				continue
			}
			for _, other := range here {
				if pair := [2]int{min(number, other), max(number, other)}; !slices.Contains(pairs, pair) {
					pairs = append(pairs, pair)
				}
			}
			here = append(here, number)
		}
	}
	return names, pairs
}

// layLight works out what light each group throws.
func (p *Picture) layLight() {
	byColour := map[int]*layer{}
	for _, l := range p.scene.Lamps {
		pitch := min(max(l.PitchMM*p.scene.Scale, 2.5), mostPitch)
		halo := newKernel(pitch)
		dark := newDot(pitch)
		for g, group := range l.Groups {
			colour := p.palette.colour(l.GroupColour(g))
			if byColour[colour] == nil {
				byColour[colour] = &layer{colour: colour, off: make([]float32, p.width*p.height), sum: make([]float32, p.width*p.height)}
				p.layers = append(p.layers, byColour[colour])
			}
			layer := byColour[colour]
			s := stamp{lamp: l.Index, group: g, at: p.reach(l, group.LEDs, halo.reach)}
			s.light = make([]float32, s.at.Dx()*s.at.Dy())
			for _, led := range group.LEDs {
				x, y := l.Dot(l.LEDs[led].At)
				halo.add(s.light, s.at, x, y)
				dark.add(layer.off, p.Bounds(), x, y)
			}
			layer.groups = append(layer.groups, s)
		}
	}
}

// reach is the part of the picture that the light of LEDs falls on.
func (p *Picture) reach(l Placed, leds []int, radius float64) image.Rectangle {
	var out image.Rectangle
	for _, led := range leds {
		x, y := l.Dot(l.LEDs[led].At)
		out = out.Union(image.Rect(int(math.Floor(x-radius)), int(math.Floor(y-radius)), int(math.Ceil(x+radius))+1, int(math.Ceil(y+radius))+1))
	}
	return out.Intersect(p.Bounds())
}

// Draw draws a frame.
func (p *Picture) Draw(f Frame) *image.Paletted {
	out := image.NewPaletted(p.Bounds(), p.palette.colours())
	for _, l := range p.layers {
		copy(l.sum, l.off)
		for _, s := range l.groups {
			if share := float32(f.share(s.lamp, s.group)); share > 0 {
				l.pour(s, share, p.width)
			}
		}
	}
	p.mix(out.Pix)
	for _, d := range p.drawn {
		out.Pix[d.at] = p.palette.over(out.Pix[d.at], d.ink, d.share)
	}
	p.caption.draw(out, f, p.palette)
	return out
}

func (l *layer) pour(s stamp, share float32, width int) {
	w := s.at.Dx()
	for y := range s.at.Dy() {
		from := s.light[y*w : (y+1)*w]
		to := l.sum[(s.at.Min.Y+y)*width+s.at.Min.X:][:w]
		for x, v := range from {
			to[x] += float32(v * share)
		}
	}
}

// mix turns the light of all colours into palette entries.
func (p *Picture) mix(pix []uint8) {
	for i := range pix {
		total, strongest, second := float32(0), -1, -1
		for k, l := range p.layers {
			v := l.sum[i]
			if v <= faintest {
				continue
			}
			total += v
			switch {
			case strongest < 0 || v > p.layers[strongest].sum[i]:
				strongest, second = k, strongest
			case second < 0 || v > p.layers[second].sum[i]:
				second = k
			}
		}
		if strongest < 0 {
			continue
		}
		x, y := i%p.width, i/p.width
		number := p.layers[strongest].colour
		if second >= 0 {
			a, b := p.layers[strongest].sum[i], p.layers[second].sum[i]
			number = p.palette.meeting(number, p.layers[second].colour, b/(a+b), weave[(y+5)&7][(x+3)&7])
		}
		pix[i] = p.palette.light(number, total, weave[y&7][x&7])
	}
}

// faintest is the light below which a dot looks like its ground.
const faintest = 1.0 / 4096

// kernel is the light of one LED around its place: a round core, a close halo and a wide faint one.
type kernel struct {
	reach            float64 // dots
	core, soft       float64 // radius of the core and width of its edge, dots
	near, nearAmount float64 // halo: sigma in dots, light at the middle
	far, farAmount   float64
}

// The wide halo: how many pitches, and the pitch from which on it grows no wider, dots.
const farPitches, farPitch = 2.2, 9

func newKernel(pitch float64) kernel {
	k := kernel{core: 0.34 * pitch, soft: 0.9, near: 0.62 * pitch, nearAmount: 0.20, far: farPitches * min(pitch, farPitch), farAmount: 0.022}
	k.reach = 3 * k.far
	return k
}

// newDot is a dark LED: its core only.
func newDot(pitch float64) kernel {
	k := kernel{core: 0.34 * pitch, soft: 0.9}
	k.reach = k.core + k.soft + 1
	return k
}

func (k kernel) at(distance float64) float64 {
	edge := min(max((k.core+k.soft/2-distance)/k.soft, 0), 1)
	light := edge * edge * (3 - 2*edge)
	if k.near == 0 {
		return light * offLight
	}
	bell := func(sigma float64) float64 { return math.Exp(-distance * distance / (2 * sigma * sigma)) }
	return light*(1-k.nearAmount) + k.nearAmount*bell(k.near) + k.farAmount*bell(k.far)
}

// add pours the light of one LED at x, y into a field of dots.
func (k kernel) add(field []float32, bounds image.Rectangle, x, y float64) {
	area := image.Rect(int(x-k.reach), int(y-k.reach), int(x+k.reach)+1, int(y+k.reach)+1).Intersect(bounds)
	for row := area.Min.Y; row < area.Max.Y; row++ {
		for col := area.Min.X; col < area.Max.X; col++ {
			distance := math.Hypot(float64(col)+0.5-x, float64(row)+0.5-y)
			if distance < k.reach {
				field[(row-bounds.Min.Y)*bounds.Dx()+col-bounds.Min.X] += float32(k.at(distance))
			}
		}
	}
}
