package figures

import (
	"image/color"
	"math"
)

// The palette of a picture, at most 256 entries as GIF allows: the ground, greys up to the writing, for every LED colour a
// row of light from dark to full, a shorter row for every two colours that stand in one lamp, and the last entry for "as
// before". Shades between two entries, and light of two colours that meets, are made by a fixed pattern of neighbouring
// dots: it stands still, so that pictures are calm and pack well.
const (
	transparent = 255
	groundEntry = 0
	greySteps   = 14 // from the ground to the writing
)

// fullest is the most light that is told apart; 1 is an LED wholly on, more where LEDs overlap.
const fullest = 2.5

// even is how steps of light are spaced: evenly for the eye, near enough.
const even = 2.4

// curveSteps is the length of the table from light to place in a row.
const curveSteps = 4096

// palette holds the rows of light: first those of the colours, in their order, then those of pairs.
type palette struct {
	names   []string
	bytes   [][3]uint8
	rows    []row
	pairs   map[[2]int]int          // row of two colours, the lower number first
	curve   [curveSteps + 1]float32 // place in a row, 0..1, of light 0..fullest
	nearest map[[3]uint8]uint8
}

type row struct{ first, entries int }

// newPalette makes the palette of LED colours; pairs are colours that stand in one lamp, by number, the lower first.
func newPalette(colours []string, pairs [][2]int) *palette {
	p := &palette{names: colours, nearest: map[[3]uint8]uint8{}, pairs: map[[2]int]int{}}
	for i := range greySteps + 1 {
		p.bytes = append(p.bytes, blend(ground.encode(), writing.encode(), float64(i)/greySteps))
	}
	if len(colours) == 0 {
		return p
	}
	half := (transparent - len(p.bytes)) / (2*len(colours) + len(pairs)) // entries of a pair
	for _, name := range colours {
		p.add(tintOf(name), 2*half)
	}
	for _, pair := range pairs {
		p.pairs[pair] = len(p.rows)
		p.add(rgb{}.plus(tintOf(colours[pair[0]]), 0.5).plus(tintOf(colours[pair[1]]), 0.5), half)
	}
	for i := range p.curve {
		p.curve[i] = float32(math.Pow(float64(i)/curveSteps, 1/even))
	}
	return p
}

func (p *palette) add(tint rgb, entries int) {
	p.rows = append(p.rows, row{len(p.bytes), entries})
	for i := range entries {
		light := fullest * math.Pow(float64(i+1)/float64(entries), even)
		p.bytes = append(p.bytes, shown(ground, tint, light).encode())
	}
}

// colour gives the number of a LED colour.
func (p *palette) colour(name string) int {
	for i, n := range p.names {
		if n == name {
			return i
		}
	}
	return 0
}

// light gives the entry for an amount of light of a row, at a dot whose threshold is t (0..1).
func (p *palette) light(number int, amount, t float32) uint8 {
	r := p.rows[number]
	step := int(p.curve[int(min(amount, fullest)*(curveSteps/fullest))]*float32(r.entries) + t)
	if step == 0 {
		return groundEntry
	}
	return uint8(r.first + min(step, r.entries) - 1)
}

// meeting gives the row for a dot on which light of two colours falls: share (0..1/2) of it is of the weaker one.
func (p *palette) meeting(strong, weak int, share, t float32) int {
	pair := [2]int{min(strong, weak), max(strong, weak)}
	if number, ok := p.pairs[pair]; ok {
		if 2*share > t {
			return number
		}
		return strong
	}
	if share > t {
		return weak
	}
	return strong
}

// over gives the entry for writing upon what is drawn already, covering a share of it.
func (p *palette) over(under uint8, ink rgb, share float64) uint8 {
	return p.near(blend(p.bytes[under], ink.encode(), share))
}

// near finds the entry that looks most like a colour. The first of equals wins.
func (p *palette) near(want [3]uint8) uint8 {
	if i, ok := p.nearest[want]; ok {
		return i
	}
	best, least := 0, math.MaxInt
	for i, have := range p.bytes {
		var d int
		// Weights of green over red over blue, as the eye has them; common practice, no source.
		for k, weight := range [3]int{3, 6, 2} {
			diff := int(want[k]) - int(have[k])
			d += weight * diff * diff
		}
		if d < least {
			best, least = i, d
		}
	}
	p.nearest[want] = uint8(best)
	return uint8(best)
}

// blend mixes two screen colours.
func blend(from, to [3]uint8, share float64) [3]uint8 {
	for i := range from {
		from[i] = uint8(math.Round(float64(from[i]) + float64((float64(to[i])-float64(from[i]))*share)))
	}
	return from
}

// colours gives the palette as image/color has it, 256 entries, the last one transparent.
func (p *palette) colours() color.Palette {
	out := make(color.Palette, 256)
	for i := range out {
		out[i] = color.RGBA{0, 0, 0, 255}
		if i < len(p.bytes) {
			b := p.bytes[i]
			out[i] = color.RGBA{b[0], b[1], b[2], 255}
		}
	}
	out[transparent] = color.RGBA{}
	return out
}

// weave is the pattern of thresholds, in 1/64: Bayer's 8 by 8 matrix (B. E. Bayer, ICC 1973).
var weave = func() (m [8][8]float32) {
	for y := range m {
		for x := range m[y] {
			v := 0
			for bit := range 3 {
				a, b := x>>bit&1, y>>bit&1
				v = v<<2 | (a^b)<<1 | b
			}
			m[y][x] = (float32(v) + 0.5) / 64
		}
	}
	return m
}()
