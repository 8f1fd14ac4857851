package units_test

import (
	"encoding"
	"errors"
	"math"
	"strings"
	"testing"

	"lampwright/units"

	"pgregory.net/rapid"
)

// quantity is what all the float quantities have in common.
type quantity interface {
	~float64
	String() string
}

func TestParseReadsWhatABuilderWrites(t *testing.T) {
	check(t, units.ParseLength, map[string]units.Length{
		"120 mm": 120, "120mm": 120, " 120  mm ": 120, "1.2 m": 1200, "1.1 m": 1100, "47 in": 1193.8, "1/2 in": 12.7,
		"1 1/2 in": 38.1, "-720 mm": -720, "−720 mm": -720, "+3 cm": 30, "2 ft": 609.6, "3/8\"": 9.525, "0 mm": 0, "0.1 mm": 0.1,
	})
	check(t, units.ParseArea, map[string]units.Area{"0.75 mm²": 0.75, "1.5 mm2": 1.5, "2.5 mm^2": 2.5})
	check(t, units.ParseShare, map[string]units.Share{"12 %": 0.12, "100%": 1, "0 %": 0, "33.3 %": 0.333, "7 %": 0.07})
	check(t, units.ParseVoltage, map[string]units.Voltage{"13.2 V": 13.2, "350 mV": 0.35})
	check(t, units.ParseCurrent, map[string]units.Current{"40 mA": 0.04, "2 A": 2, "500 µA": 5e-4, "500 μA": 5e-4, "500 uA": 5e-4})
	check(t, units.ParseResistance, map[string]units.Resistance{
		"4.7 kΩ": 4700, "4.7 k\u2126": 4700, "150 Ω": 150, "150 ohm": 150, "2.2 kohm": 2200, "1 MΩ": 1e6, "10 mohm": 0.01,
	})
	check(t, units.ParsePower, map[string]units.Power{"1/4 W": 0.25, "60 mW": 0.06})
	check(t, units.ParseCapacitance, map[string]units.Capacitance{"100 nF": 1e-7, "470 uF": 4.7e-4})
	check(t, units.ParseFrequency, map[string]units.Frequency{"200 Hz": 200, "2 kHz": 2000, "16 MHz": 16e6})
	check(t, units.ParseAngle, map[string]units.Angle{"90 deg": 90, "90°": 90, "-45 deg": -45})
	check(t, units.ParseTemperature, map[string]units.Temperature{"85 °C": 85, "-40 C": -40})
	check(t, units.ParseIntensity, map[string]units.Intensity{"80 cd": 80, "900 mcd": 0.9})
}

func check[Q quantity](t *testing.T, parse func(string) (Q, error), want map[string]Q) {
	t.Helper()
	for text, value := range want {
		got, err := parse(text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
		} else if got != value {
			t.Errorf("%q read as %v base units, want %v", text, float64(got), float64(value))
		}
	}
}

func TestStringSuitsTheSize(t *testing.T) {
	for _, row := range []struct{ got, want string }{
		{units.Length(1200).String(), "1200 mm"},
		{units.Length(-0.5).String(), "-0.5 mm"},
		{units.Length(0).String(), "0 mm"},
		{units.Length(math.Copysign(0, -1)).String(), "0 mm"},
		{units.Area(0.75).String(), "0.75 mm²"},
		{units.Share(0.07).String(), "7 %"},
		{units.Share(1).String(), "100 %"},
		{units.Share(0).String(), "0 %"},
		{units.Voltage(13.2).String(), "13.2 V"},
		{units.Voltage(0.35).String(), "0.35 V"},
		{units.Voltage(0.0003).String(), "0.3 mV"},
		{units.Current(0.0285).String(), "28.5 mA"},
		{units.Current(5e-7).String(), "0.5 µA"},
		{units.Current(0).String(), "0 A"},
		{units.Resistance(4700).String(), "4.7 kΩ"},
		{units.Resistance(1e6).String(), "1 MΩ"},
		{units.Resistance(0.01).String(), "10 mΩ"},
		{units.Power(0.25).String(), "0.25 W"},
		{units.Capacitance(1e-7).String(), "100 nF"},
		{units.Frequency(2000).String(), "2 kHz"},
		{units.Angle(90).String(), "90 deg"},
		{units.Temperature(-40).String(), "-40 °C"},
		{units.Intensity(0.05).String(), "50 mcd"},
		{units.Time(0).String(), "0 ms"},
		{(300 * units.Microsecond).String(), "0.3 ms"},
		{(1500 * units.Millisecond).String(), "1500 ms"},
		{(4 * units.Second).String(), "4 s"},
		{(60 * units.Second).String(), "60 s"},
		{(90 * units.Second).String(), "90 s"},
		{(10 * units.Minute).String(), "10 min"},
		{(2 * units.Hour).String(), "2 h"},
		{(-3 * units.Second).String(), "-3 s"},
	} {
		if row.got != row.want {
			t.Errorf("printed %q, want %q", row.got, row.want)
		}
	}
}

func TestTimeIsExact(t *testing.T) {
	for text, want := range map[string]units.Time{
		"300 ms": 300000, "0.3 ms": 300, "4 s": 4000000, "10 min": 600000000, "1/2 s": 500000, "250 µs": 250, "1.5 h": 5400000000,
	} {
		if got, err := units.ParseTime(text); err != nil || got != want {
			t.Errorf("%q read as %d µs (%v), want %d", text, got, err, want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for text, phrase := range map[string]string{
		"":                      "empty",
		"   ":                   "empty",
		"120":                   "no unit",
		"mm":                    "does not begin with a number",
		"12 parsec":             "not one of its units",
		"1,5 mm":                "a comma is not read",
		"1 000 mm":              "cannot be read",
		"1..5 mm":               "cannot be read",
		".5 mm":                 "cannot be read",
		"5. mm":                 "cannot be read",
		"1/0 mm":                "cannot be read",
		"1.5/2 mm":              "cannot be read",
		"1.5 1/2 mm":            "cannot be read",
		"1/2/3 mm":              "cannot be read",
		"--1 mm":                "cannot be read",
		"1e3 mm":                "not one of its units",
		"12 mm 13 mm":           "not one of its units",
		"5 MM":                  "not one of its units",
		strings.Repeat("9", 65): "longer than 64",
	} {
		_, err := units.ParseLength(text)
		var problem *units.Error
		if !errors.As(err, &problem) {
			t.Errorf("%q was accepted", text)
			continue
		}
		if !strings.Contains(problem.Problem, phrase) {
			t.Errorf("%q: problem is %q, want it to say %q", text, problem.Problem, phrase)
		}
		if !strings.Contains(problem.Accepted, "mm, cm, m, in or ft") {
			t.Errorf("%q: the units are not listed: %q", text, problem.Accepted)
		}
	}
	for _, text := range []string{"-1 %", "101 %", "0.5"} {
		if _, err := units.ParseShare(text); err == nil {
			t.Errorf("share %q was accepted", text)
		}
	}
	for _, text := range []string{"1/3 ms", "0.0001 ms", "1001 h", "-1001 h", "300", "99999999999999999999999999999999 h"} {
		if _, err := units.ParseTime(text); err == nil {
			t.Errorf("time %q was accepted", text)
		}
	}
}

func TestReadingBackGivesTheSameValue(t *testing.T) {
	t.Run("length", roundTrip(units.ParseLength))
	t.Run("area", roundTrip(units.ParseArea))
	t.Run("voltage", roundTrip(units.ParseVoltage))
	t.Run("current", roundTrip(units.ParseCurrent))
	t.Run("resistance", roundTrip(units.ParseResistance))
	t.Run("power", roundTrip(units.ParsePower))
	t.Run("capacitance", roundTrip(units.ParseCapacitance))
	t.Run("frequency", roundTrip(units.ParseFrequency))
	t.Run("angle", roundTrip(units.ParseAngle))
	t.Run("temperature", roundTrip(units.ParseTemperature))
	t.Run("intensity", roundTrip(units.ParseIntensity))
	t.Run("share", rapid.MakeCheck(func(t *rapid.T) {
		want := units.Share(rapid.Float64Range(0, 1).Draw(t, "value"))
		if want < 1e-20 {
			want = 0 // longer than any text that is read
		}
		if got, err := units.ParseShare(want.String()); err != nil || got != want {
			t.Fatalf("%v printed as %q read back as %v (%v)", float64(want), want, float64(got), err)
		}
	}))
	t.Run("time", rapid.MakeCheck(func(t *rapid.T) {
		want := units.Time(rapid.Int64Range(-int64(units.TimeLimit), int64(units.TimeLimit)).Draw(t, "value"))
		if got, err := units.ParseTime(want.String()); err != nil || got != want {
			t.Fatalf("%d µs printed as %q read back as %d (%v)", want, want, got, err)
		}
	}))
}

func roundTrip[Q quantity](parse func(string) (Q, error)) func(*testing.T) {
	return rapid.MakeCheck(func(t *rapid.T) {
		magnitude := rapid.Float64Range(-1, 1).Draw(t, "mantissa")
		want := Q(magnitude * math.Pow(10, float64(rapid.IntRange(-12, 12).Draw(t, "power"))))
		if math.Abs(float64(want)) < 1e-20 {
			want = 0 // longer than any text that is read
		}
		if got, err := parse(want.String()); err != nil || got != want {
			t.Fatalf("%v printed as %q read back as %v (%v)", float64(want), want.String(), float64(got), err)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"120 mm", "1 1/2 in", "4.7 kΩ", "12 %", "300 ms", "-40 °C", "9\x00", "1/1 h"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var length units.Length
		var share units.Share
		var span units.Time
		var resistance units.Resistance
		for _, q := range []interface {
			encoding.TextUnmarshaler
			String() string
		}{&length, &share, &span, &resistance} {
			if err := q.UnmarshalText([]byte(text)); err != nil {
				continue
			}
			printed := q.String()
			if len(printed) > 60 {
				continue // a value of many digits need not fit what is read
			}
			if err := q.UnmarshalText([]byte(printed)); err != nil {
				t.Fatalf("%q printed as %q, which is refused: %v", text, printed, err)
			}
			if again := q.String(); again != printed {
				t.Fatalf("%q printed as %q, then as %q", text, printed, again)
			}
		}
	})
}
