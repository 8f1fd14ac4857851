package light

import "lampwright/units"

// lightnessOf gives CIE 1976 lightness L* (0..100) of a share of linear light
// (0..1), and is units.Lightness but for the last bits: its cube root is made
// of single operations, because the standard library's may round differently
// from one processor to another, and a routine must not.
func lightnessOf(share float64) float64 {
	share = min(max(share, 0), 1)
	if share <= 216.0/24389 {
		return units.Lightness(share)
	}
	return float64(116*cubeRoot(share)) - 16
}

// shareOf is the inverse of lightnessOf: a share of linear light, 0..1.
func shareOf(lightness float64) float64 {
	return min(max(units.Luminance(lightness), 0), 1)
}

// cubeRoot gives the cube root of x, 0.008 < x <= 1, by Newton's iteration
// x' = x - (x³ - a)/(3x²) from above. A dozen steps are enough from 1 down to
// 0.2: the first six close in, each later one doubles the good digits.
func cubeRoot(x float64) float64 {
	root := 1.0
	for range 12 {
		square := float64(root * root)
		root -= (float64(square*root) - x) / float64(3*square)
	}
	return root
}
