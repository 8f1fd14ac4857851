package light

import "lampwright/units"

// lightnessOf gives CIE 1976 lightness L* (0..100) of a share of linear light,
// held to 0..1.
func lightnessOf(share float64) float64 { return units.Lightness(min(max(share, 0), 1)) }

// shareOf is the inverse of lightnessOf: a share of linear light, 0..1.
func shareOf(lightness float64) float64 { return min(max(units.Luminance(lightness), 0), 1) }
