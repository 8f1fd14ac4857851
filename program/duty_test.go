package program_test

import (
	"math"
	"testing"

	"lampwright/program"
	"lampwright/units"
)

// Luminances of CIE 1976 lightness (ISO/CIE 11664-4; L* = 116 (Y/Yn)^(1/3) − 16 above Y/Yn = 216/24389, and 24389/27 Y/Yn
// up to it), in per cent. L* = 50 at 18.42 % is the middle grey of every colour handbook; the other decades are from memory
// of the same tables and re-computed here from the inverse below.
var luminance = map[int]float64{0: 0, 20: 2.989, 40: 11.251, 60: 28.123, 80: 56.681, 100: 100}

func TestDutyAtPublishedLightness(t *testing.T) {
	table := program.DutyTable()
	for lightness, percent := range luminance {
		level := lightness * 255 / 100 // whole for these
		if want := math.Round(percent / 100 * program.FullDuty); float64(table[level]) != want {
			t.Errorf("L* = %d (level %d): duty %d, want %.0f", lightness, level, table[level], want)
		}
	}
	// L* = 50 lies between levels 127 and 128.
	if middle := 0.1842 * program.FullDuty; float64(table[127]) > middle || float64(table[128]) < middle {
		t.Errorf("middle grey, duty %.1f, does not lie between levels 127 (%d) and 128 (%d)", middle, table[127], table[128])
	}
}

// The table is the rounding of the formula: L* of half a step of duty below and above encloses the level.
func TestDutyInverse(t *testing.T) {
	lightness := func(y float64) float64 {
		if y <= 216.0/24389 {
			return 24389.0 / 27 * y
		}
		return 116*math.Cbrt(y) - 16
	}
	for level, duty := range program.DutyTable() {
		l := float64(level) * 100 / 255
		low, high := lightness((float64(duty)-0.5)/program.FullDuty), lightness((float64(duty)+0.5)/program.FullDuty)
		if l < low || l > high {
			t.Errorf("level %d: L* = %.3f, but duty %d stands for %.3f..%.3f", level, l, duty, low, high)
		}
		if other := units.Level(level).Duty(); int(other) != int(duty) {
			t.Errorf("level %d: duty %d, in units %d", level, duty, other)
		}
		if program.Duty(uint8(level)) != duty {
			t.Errorf("level %d: Duty and DutyTable differ", level)
		}
	}
}

// The planes and slot S of the eight refreshes of a frame together show the duty, but for the lowest bit's share.
func TestWordsCarryDuty(t *testing.T) {
	for level := range 256 {
		s := program.Shown{Levels: [program.MaxOutputs]uint8{13: uint8(level)}}
		units := 0 // of slot S; a whole frame has 8 · 256
		for phase := range program.RefreshesPerFrame {
			s.Phase = uint8(phase)
			words := s.Words(2)
			for k, w := range words {
				if w[0] != 0 {
					t.Fatalf("level %d on output 14 lights another: slot %d, %v", level, k, w)
				}
				if w[1]&(1<<5) != 0 {
					units += max(1, 1<<k>>1)
				}
			}
		}
		if duty := int(program.Duty(uint8(level))); units != duty {
			t.Errorf("level %d: %d units in a frame, duty %d", level, units, duty)
		}
	}
}
