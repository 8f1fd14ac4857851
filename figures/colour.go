package figures

import "math"

// rgb is linear light in the primaries of IEC 61966-2-1 (sRGB), 0..1.
type rgb [3]float64

func (a rgb) plus(b rgb, times float64) rgb {
	return rgb{a[0] + float64(b[0]*times), a[1] + float64(b[1]*times), a[2] + float64(b[2]*times)}
}

// tints are the colours of LEDs on a screen. They are chosen to be told apart and to look like lit lamps; a screen cannot
// show the saturated colours of the LEDs themselves.
var tints = map[string]rgb{
	"red":        hex(0xFF2412),
	"amber":      hex(0xFF8A00),
	"yellow":     hex(0xFFC400),
	"white":      hex(0xE8F0FF),
	"warm-white": hex(0xFFE2B8),
	"green":      hex(0x20E060),
	"blue":       hex(0x3070FF),
}

// tintOf gives the screen colour of an LED colour; a colour that is not known is shown as a pale grey.
func tintOf(colour string) rgb {
	if c, ok := tints[colour]; ok {
		return c
	}
	return hex(0xC8C8C8)
}

// Greys of every picture: calm and dark, so that dim light can be seen.
var (
	ground  = hex(0x0C0E12) // around the lamps
	lens    = hex(0x14171D) // inside an outline
	edge    = hex(0x343A44) // the outline
	writing = hex(0xC9D0D9) // names, time, pressed inputs
	faint   = hex(0x7D8793) // contrast 5.3 on the ground, above the 4.5 of W3C WCAG 2.1, 1.4.3: titles, inputs that are off
)

// flat is the colour of light of an amount upon a ground, for places too coarse to show a core: 1 is an LED wholly on.
func flat(under, tint rgb, light float64) rgb {
	out := under.plus(tint, exposure*light)
	for i, v := range out {
		out[i] = shoulder(v)
	}
	return out
}

// shown is flat for fine pictures: where an LED is bright its core turns paler, as a camera sees it.
func shown(under, tint rgb, light float64) rgb {
	hot := max(light-paleFrom, 0)
	return flat(under.plus(rgb{1, 1, 1}, hot*paleness), tint, light)
}

const (
	exposure = 1.15
	paleFrom = 0.55 // light at which the core begins to turn paler
	paleness = 0.24
)

// shoulder leaves dark values alone and bends bright ones gently towards 1.
func shoulder(v float64) float64 {
	const bend = 0.6
	if v <= bend {
		return v
	}
	return bend + (1-bend)*(1-math.Exp(-(v-bend)/(1-bend)))
}

// encode gives the bytes that a screen wants (IEC 61966-2-1).
func (a rgb) encode() [3]uint8 {
	var out [3]uint8
	for i, v := range a {
		out[i] = encodeOne(v)
	}
	return out
}

func encodeOne(v float64) uint8 {
	v = min(max(v, 0), 1)
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return uint8(math.Round(v * 255))
}

// hex reads a screen colour 0xRRGGBB.
func hex(code uint32) rgb {
	var out rgb
	for i := range out {
		v := float64(code>>(16-8*i)&0xFF) / 255
		if v <= 0.04045 {
			out[i] = v / 12.92
		} else {
			out[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return out
}
