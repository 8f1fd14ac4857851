package units

import "math"

// e12 is the series of preferred values with twelve steps a decade: IEC 60063.
var e12 = [...]float64{1, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2, 10}

// e12Slack is how far off a value that was computed may be: 4.7 kΩ computed is 4.7 kΩ.
const e12Slack = 1 + 1e-9

// E12AtMost gives the largest preferred value of the E12 series that is not above r, at least 1 Ω; 0 when r is less.
func E12AtMost(r Resistance) Resistance {
	if !(r >= 1) {
		return 0
	}
	best, decade := 0.0, e12Decade(r)
	for _, v := range e12 {
		if v*decade <= float64(r)*e12Slack {
			best = v * decade
		}
	}
	return tenths(best)
}

// E12AtLeast gives the smallest preferred value of the E12 series that is not below r, at least 1 Ω.
func E12AtLeast(r Resistance) Resistance {
	r = max(r, 1)
	decade, i := e12Decade(r), 0
	for e12[i]*decade*e12Slack < float64(r) { // the last is the next decade
		i++
	}
	return tenths(e12[i] * decade)
}

// e12Decade gives the power of ten in whose decade r lies, ohms.
func e12Decade(r Resistance) float64 {
	return math.Pow(10, math.Floor(math.Log10(float64(r)*e12Slack)))
}

// tenths rounds what powers of ten left behind; no value of 1 Ω or more has a finer step.
func tenths(ohms float64) Resistance { return Resistance(math.Round(ohms*10) / 10) }
