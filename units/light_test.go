package units_test

import (
	"math"
	"testing"

	"lampwright/units"

	"github.com/lucasb-eyer/go-colorful"
	"pgregory.net/rapid"
)

// The grey patches of a colour chart, with relative luminance and lightness as
// its maker published them.
// Source: GretagMacbeth, ColorChecker reference data of 2005 (illuminant D50,
// 2 degree observer), patches 19 to 24. Luminance is given to four decimals,
// lightness to three.
var greys = []struct{ luminance, lightness float64 }{
	{0.9131, 96.539},
	{0.5894, 81.257},
	{0.3632, 66.766},
	{0.1915, 50.867},
	{0.0883, 35.656},
	{0.0311, 20.461},
}

func TestLightnessOfPublishedGreys(t *testing.T) {
	const luminanceStep = 0.00005 // half of the last published decimal
	for _, grey := range greys {
		low, high := units.Lightness(grey.luminance-luminanceStep), units.Lightness(grey.luminance+luminanceStep)
		if grey.lightness < low-0.0005 || grey.lightness > high+0.0005 {
			t.Errorf("luminance %v gives lightness %.3f to %.3f, published is %v", grey.luminance, low, high, grey.lightness)
		}
		if got := units.Luminance(grey.lightness); math.Abs(got-grey.luminance) > luminanceStep+1e-5 {
			t.Errorf("lightness %v gives luminance %.5f, published is %v", grey.lightness, got, grey.luminance)
		}
	}
}

// The formula in the words of the standard, with its own constants.
// Source: CIE e-ILV term 17-23-076 and IEC 60050-845-23-076, after
// ISO/CIE 11664-4: L* = 116 f(Y/Yn) - 16, f(t) = t^(1/3) above (6/29)³, else
// (841/108) t + 4/29.
func TestLightnessIsTheStandardsFormula(t *testing.T) {
	for i := range 10001 {
		y := float64(i) / 10000
		f := 841.0/108*y + 4.0/29
		if y > math.Pow(6.0/29, 3) {
			f = math.Pow(y, 1.0/3)
		}
		if got, want := units.Lightness(y), 116*f-16; math.Abs(got-want) > 1e-9 {
			t.Fatalf("luminance %v gives lightness %v, want %v", y, got, want)
		}
	}
}

// An independent implementation agrees.
func TestLightnessAgreesWithALibrary(t *testing.T) {
	for i := range 1001 {
		y := float64(i) / 1000
		l, _, _ := colorful.XyzToLab(0.95047*y, y, 1.08883*y) // D65 grey
		if got := units.Lightness(y); math.Abs(got-100*l) > 1e-3 {
			t.Fatalf("luminance %v gives lightness %v, the library says %v", y, got, 100*l)
		}
	}
}

func TestLuminanceUndoesLightness(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.Float64Range(0, 1).Draw(t, "luminance")
		if back := units.Luminance(units.Lightness(y)); math.Abs(back-y) > 1e-12 {
			t.Fatalf("%v came back as %v", y, back)
		}
	})
	// Around the junction, where the two branches must change over together.
	for i := range 2001 {
		y := float64(i) / 100000
		if back := units.Luminance(units.Lightness(y)); math.Abs(back-y) > 1e-12 {
			t.Fatalf("%v came back as %v", y, back)
		}
	}
	// The branches meet: L* is exactly 8 at (6/29)³.
	if got := units.Lightness(math.Pow(6.0/29, 3)); math.Abs(got-8) > 1e-9 {
		t.Errorf("lightness at the junction is %v", got)
	}
}

func TestDutyTable(t *testing.T) {
	if units.Level(0).Duty() != 0 || units.LevelFull.Duty() != units.DutyFull {
		t.Fatalf("the ends are %d and %d", units.Level(0).Duty(), units.LevelFull.Duty())
	}
	for level := 1; level <= int(units.LevelFull); level++ {
		l := units.Level(level)
		if l.Duty() < units.Level(level-1).Duty() {
			t.Errorf("duty falls at level %d", level)
		}
		// Far from a tie, so that no processor's last bit can change the table.
		exact := float64(l.Share()) * float64(units.DutyFull)
		if tie := math.Abs(exact - math.Floor(exact) - 0.5); tie < 1e-6 {
			t.Errorf("level %d lies on a tie: %v", level, exact)
		}
		if math.Abs(float64(l.Duty())-exact) > 0.5 {
			t.Errorf("level %d has duty %d, exactly %v", level, l.Duty(), exact)
		}
	}
	// Worked by hand from the formula: level 128 is L* 50.196, ((50.196+16)/116)³ = 0.18584, times 2047 = 380.4.
	if got := units.Level(128).Duty(); got != 380 {
		t.Errorf("level 128 has duty %d", got)
	}
}

func TestLevelsAndSharesAgree(t *testing.T) {
	for level := range int(units.LevelFull) + 1 {
		l := units.Level(level)
		if back := units.LevelOf(l.Share()); back != l {
			t.Errorf("level %d came back as %d", level, back)
		}
	}
	for duty := range int(units.DutyFull) + 1 {
		d := units.Duty(duty)
		if back := units.DutyOf(d.Share()); back != d {
			t.Errorf("duty %d came back as %d", duty, back)
		}
	}
	for share, want := range map[units.Share]units.Level{-1: 0, 0: 0, 1: 255, 2: 255} {
		if got := units.LevelOf(share); got != want {
			t.Errorf("share %v gives level %d, want %d", float64(share), got, want)
		}
	}
	// 40 % of light is lightness 69.5 (from the published formula: 116·0.4^(1/3) - 16), level 177.
	if got := units.LevelOf(0.4); got != 177 {
		t.Errorf("40 %% gives level %d", got)
	}
}
