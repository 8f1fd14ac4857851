package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"lampwright/units"
)

// The forward CIE 1976 formula, written apart from the inverse under test, must put the wanted lightness between those of
// half a duty step below and above.
func TestDutyBracketsTheWantedLightness(t *testing.T) {
	for level := int64(0); level <= levelMax; level++ {
		want := float64(level) * 100 / levelMax
		d := float64(duty(level))
		below, above := units.Lightness(max(d-0.5, 0)/dutyMax), units.Lightness((d+0.5)/dutyMax)
		const slack = 1e-9 // L*, for floating point
		if want < below-slack || want > above+slack {
			t.Errorf("level %d: L* %.4f wanted, duty %v stands for %.4f to %.4f", level, want, d, below, above)
		}
	}
}

// Points worked by hand from CIE 1976: Y = ((L*+16)/116)^3 above L* 8, Y = L* * 27/24389 up to there.
func TestDutyKnownPoints(t *testing.T) {
	for _, c := range []struct{ level, want int64 }{
		{0, 0},
		{1, 1},      // L* 0.392: 0.000434 * 2047 = 0.889
		{51, 61},    // L* 20: 0.029891 * 2047 = 61.186
		{102, 230},  // L* 40: 0.112510 * 2047 = 230.307
		{153, 576},  // L* 60: 0.281233 * 2047 = 575.685
		{204, 1160}, // L* 80: 0.566813 * 2047 = 1160.266
		{255, 2047},
	} {
		if got := duty(c.level); got != c.want {
			t.Errorf("level %d: duty %d, want %d", c.level, got, c.want)
		}
	}
}

func TestCommittedTablesAreCurrent(t *testing.T) {
	for _, f := range files() {
		path := filepath.Join("..", "core", f.name)
		got, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, f.text) {
			t.Errorf("%s differs from what the generator writes; run: go run ./firmware/gen firmware/core", path)
		}
	}
}
