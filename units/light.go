package units

import "math"

// Light is counted in three ways. A share is linear light, what a meter reads
// and what duty means. A level is lightness, what the eye sees, so that a fade
// of even steps looks even. A duty is the share as the engine counts it.

// Level is lightness in 255 steps: 0 is dark, LevelFull is all the light there is.
type Level uint8

// Duty is linear light in 2047 steps: 0 is dark, DutyFull is all the light there is.
type Duty uint16

const (
	LevelFull Level = 255  // steps
	DutyFull  Duty  = 2047 // steps
)

// The two branches of the CIE 1976 lightness function meet at a relative
// luminance of (6/29)³, where L* is 8.
// Source: CIE 015:2018, section 8.2.1; ISO/CIE 11664-4:2019.
const (
	junctionLuminance = 216.0 / 24389 // relative luminance, 0..1
	junctionLightness = 8.0           // L*
	darkSlope         = 24389.0 / 27  // L* for each unit of relative luminance below the junction
)

// Lightness gives CIE 1976 lightness L* (0..100) of a relative luminance
// (0..1): 116·Y^(1/3) - 16 above the junction, (29/3)³·Y below it.
func Lightness(luminance float64) float64 {
	if luminance > junctionLuminance {
		return float64(116*cubeRoot(luminance)) - 16
	}
	return darkSlope * luminance
}

// cubeRoot gives the cube root of x, 0.008 < x <= 1, by Newton's iteration
// x' = x - (x³ - a)/(3x²) from above, in single operations: the standard
// library's may round differently from one processor to another, and a level
// must not. A dozen steps are enough from 1 down to 0.2: the first six close
// in, each later one doubles the good digits.
func cubeRoot(x float64) float64 {
	root := 1.0
	for range 12 {
		square := float64(root * root)
		root -= (float64(square*root) - x) / float64(3*square)
	}
	return root
}

// Luminance gives the relative luminance (0..1) of a CIE 1976 lightness L*
// (0..100); it is the inverse of Lightness.
func Luminance(lightness float64) float64 {
	if lightness > junctionLightness {
		root := (lightness + 16) / 116
		return float64(root*root) * root
	}
	return lightness / darkSlope
}

// LevelOf gives the level nearest to a share of light, ties away from zero.
// Shares outside 0..1 are held at the ends.
func LevelOf(light Share) Level {
	share := min(max(float64(light), 0), 1)
	return Level(math.Round(Lightness(share) * float64(LevelFull) / 100))
}

// Share gives the share of light of a level.
func (l Level) Share() Share {
	return Share(Luminance(float64(l) * 100 / float64(LevelFull)))
}

// Lightness gives the CIE 1976 lightness L* (0..100) of a level.
func (l Level) Lightness() float64 { return float64(l) * 100 / float64(LevelFull) }

// Duty gives the duty nearest to the level's light, ties away from zero. It is
// the one table that turns fades into light; LevelFull gives exactly DutyFull.
func (l Level) Duty() Duty { return dutyOfLevel[l] }

// DutyOf gives the duty nearest to a share of light, ties away from zero.
// Shares outside 0..1 are held at the ends.
func DutyOf(light Share) Duty {
	return Duty(math.Round(min(max(float64(light), 0), 1) * float64(DutyFull)))
}

// Share gives the share of light of a duty.
func (d Duty) Share() Share { return Share(float64(d) / float64(DutyFull)) }

var dutyOfLevel = func() (table [int(LevelFull) + 1]Duty) {
	for level := range table {
		table[level] = DutyOf(Level(level).Share())
	}
	return table
}()
