package script

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lampwright/report"
	"lampwright/units"
)

var demoInputs = []string{"stop", "tail", "turn-lh", "turn-rh", "remote-1"}

const s, ms = units.Second, units.Millisecond

func TestParseReadsPresses(t *testing.T) {
	text := "stop@1s..3s turn-lh@4s..9s~90/min:50%!4ms # a flasher with worn contacts\n\tremote-1@0ms..1.5s stop@2min..3min!0.5ms"
	got, faults := Parse("presses", []byte(text), demoInputs)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := []Press{
		{Input: "stop", From: 1 * s, To: 3 * s},
		{Input: "turn-lh", From: 4 * s, To: 9 * s, Flash: Flash{Rate: 90_000, Share: 500}, Bounce: 4 * ms},
		{Input: "remote-1", From: 0, To: 1500 * ms},
		{Input: "stop", From: 120 * s, To: 180 * s, Bounce: 500},
	}
	if !slices.Equal(got.Presses, want) {
		t.Errorf("got  %v\nwant %v", got.Presses, want)
	}
	if got.Len() != 180*s+500 {
		t.Errorf("Len = %v", got.Len())
	}
	if !slices.Equal(got.Inputs(), []string{"stop", "turn-lh", "remote-1"}) {
		t.Errorf("Inputs = %v", got.Inputs())
	}
}

// Each fault names its own column, and one fault hides no other.
func TestParseFaults(t *testing.T) {
	for _, c := range []struct {
		text   string
		id     string
		column int
		length int
		says   string
	}{
		{"stop", "script-press", 1, 4, "not a press"},
		{"stop@1s", "script-times", 6, 2, "from when to when"},
		{"stop@", "script-times", 6, 1, "from when to when"},
		{"tail@1s..2s stpo@1s..2s", "script-unknown-input", 13, 4, `no input "stpo"`},
		{"@1s..2s", "script-input", 1, 1, "not the name"},
		{"-a@1s..2s", "script-input", 1, 2, "not the name"},
		{"stop@1..2s", "script-time", 6, 1, `"1" is not a time`},
		{"stop@1s..2", "script-time", 10, 1, `"2" is not a time`},
		{"stop@1s...2s", "script-time", 10, 3, `".2s" is not a time`},
		{"stop@-1s..2s", "script-time", 6, 3, "before the start"},
		{"stop@0s..61min", "script-time", 10, 5, "later than is played"},
		{"stop@3s..1s", "script-times", 6, 6, "ends at 1 s and begins at 3 s"},
		{"stop@1s..1s", "script-times", 6, 6, "ends at 1 s and begins at 1 s"},
		{"stop@1s..3s~90", "script-flash", 13, 2, "not a repeat"},
		{"stop@1s..3s~90/min", "script-flash", 13, 6, "not a repeat"},
		{"stop@1s..3s~5/min:50%", "script-flash", 13, 1, "not a rate"},
		{"stop@1s..3s~1e2/min:50%", "script-flash", 13, 3, "not a rate"},
		{"stop@1s..3s~90/min:100%", "script-flash", 20, 4, "not a share"},
		{"stop@1s..3s~90/min:33.33%", "script-flash", 20, 6, "not a share"},
		{"stop@1s..1.1s~90/min:50%", "script-flash", 15, 10, "longer than the whole press"},
		{"stop@1s..3s!", "script-bounce", 13, 1, "not a bounce time"},
		{"stop@1s..3s!0ms", "script-bounce", 13, 3, "not a bounce time"},
		{"stop@1s..3s!51ms", "script-bounce", 13, 4, "not a bounce time"},
		{"stop@1s..60min!5ms", "script-time", 6, 9, "still chatter at 1 h"},
		{"stop@1s..1.02s!20ms", "script-bounce", 15, 5, "never come to rest"},
		{"stop@1s..3s~600/min:20%!20ms", "script-bounce", 24, 5, "each flash is on for 20 ms"},
		{"stop@1s..3s!4ms~90/min:50%", "script-bounce", 13, 14, "not a bounce time"},
		{"größe@1s..2s", "script-unknown-input", 1, 5, "no input"},
	} {
		got, faults := Parse("presses", []byte(c.text), demoInputs)
		if len(faults) != 1 {
			t.Errorf("%s: %d faults: %v", c.text, len(faults), faults)
			continue
		}
		f := faults[0]
		if f.ID != c.id || f.Place.Line != 1 || f.Place.Column != c.column || f.Place.Length != c.length || !strings.Contains(f.Text, c.says) {
			t.Errorf("%s: %s at %d+%d: %s", c.text, f.ID, f.Place.Column, f.Place.Length, f.Text)
		}
		if f.Expected == "" && f.Next == "" {
			t.Errorf("%s: no next step in %+v", c.text, f)
		}
		if f.Line != c.text {
			t.Errorf("%s: source line %q", c.text, f.Line)
		}
		if n := strings.Count(c.text, "..") - 1; len(got.Presses) != max(0, n) && c.id == "script-unknown-input" {
			t.Errorf("%s: the good presses are %v", c.text, got.Presses)
		}
	}
}

func TestParseCollectsFaults(t *testing.T) {
	_, faults := Parse("presses.txt", []byte("stpo@1s..2s!0ms\nturn-lh@2..1s~x"), demoInputs)
	var out bytes.Buffer
	if err := report.Render(&out, faults); err != nil {
		t.Fatal(err)
	}
	golden(t, "faults.txt", out.Bytes())
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; got:\n%s", path, got)
	}
}

func TestParseLimits(t *testing.T) {
	if _, faults := Parse("x", bytes.Repeat([]byte(" "), MaxTextBytes), nil); len(faults) > 0 {
		t.Error("a text of exactly the limit is refused:", faults)
	}
	for name, text := range map[string][]byte{
		"script-too-long": bytes.Repeat([]byte(" "), MaxTextBytes+1),
		"script-not-text": []byte("stop@1s..2s \xff"),
		"script-too-busy": bytes.Repeat([]byte("stop@0s..60min~600/min:50% "), 7),
	} {
		got, faults := Parse("x", text, nil)
		if len(faults) != 1 || faults[0].ID != name || faults[0].Next == "" || len(got.Presses) > 0 {
			t.Errorf("%s: %v", name, faults)
		}
	}
	// An hour of ten flashes a second is 72 000 changes: six of them are within the limit.
	if _, faults := Parse("x", bytes.Repeat([]byte("stop@0s..60min~600/min:50% "), 6), nil); len(faults) > 0 {
		t.Error(faults)
	}
}

// genScript makes any script that the text form can say.
func genScript(t *rapid.T) Script {
	press := rapid.Custom(func(t *rapid.T) Press {
		p := Press{Input: rapid.StringMatching(`[a-z0-9é][a-z0-9é_.-]{0,8}`).Draw(t, "input")}
		p.From = units.Time(rapid.Int64Range(0, int64(MaxTime)-1).Draw(t, "from"))
		p.To = units.Time(rapid.Int64Range(int64(p.From)+1, int64(MaxTime)).Draw(t, "to"))
		if rapid.Bool().Draw(t, "flashes") {
			p.Flash = Flash{Rate: rapid.IntRange(MinRate, MaxRate).Draw(t, "rate"), Share: rapid.IntRange(MinShare, MaxShare).Draw(t, "share")}
			p.To = min(p.To, p.From+20*s)
			if p.Flash.offAt(0) > p.To-p.From {
				p.Flash = Flash{}
			}
		}
		rest := p.To - p.From
		if p.Flash.Rate > 0 {
			rest = min(p.Flash.offAt(0), p.Flash.onAt(1)-p.Flash.offAt(0))
		}
		if most := min(MaxBounce, rest-1, MaxTime-p.To); most > 0 && rapid.Bool().Draw(t, "bounces") {
			p.Bounce = units.Time(rapid.Int64Range(1, int64(most)).Draw(t, "bounce"))
		}
		return p
	})
	return Script{Presses: rapid.SliceOfN(press, 0, 6).Draw(t, "presses"), World: rapid.SliceOfN(genCondition, 0, 4).Draw(t, "world")}
}

// genCondition makes any condition that the text form can say.
var genCondition = rapid.Custom(func(t *rapid.T) Condition {
	of := rapid.SampledFrom(things).Draw(t, "what")
	c := Condition{What: of.of}
	if of.part && (!of.whole || rapid.Bool().Draw(t, "somewhere")) {
		c.Where = rapid.StringMatching(`[a-z0-9é][a-z0-9é_.-]{0,8}`).Draw(t, "where")
	}
	words := of.words
	if c.What == Link {
		words = words[1:]
		if c.Where != "" {
			words = []string{Open}
		}
	}
	switch {
	case c.What == Heat:
		c.Degrees = units.Temperature(rapid.IntRange(int(MinDegrees*decimals), int(MaxDegrees*decimals)).Draw(t, "degrees")) / decimals
	case c.What == Supply && rapid.Bool().Draw(t, "volts"):
		c.Volts = units.Voltage(rapid.IntRange(0, int(MaxVolts*decimals)).Draw(t, "volts")) / decimals
	default:
		c.Is = rapid.SampledFrom(words).Draw(t, "is")
	}
	if c.Is == Crank || rapid.Bool().Draw(t, "for a time") {
		c.From = units.Time(rapid.Int64Range(0, int64(MaxTime-crankShort)).Draw(t, "from"))
		c.To = units.Time(rapid.Int64Range(int64(c.From+crankShort), int64(MaxTime)).Draw(t, "to"))
	}
	return c
})

func TestFormatReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := genScript(t)
		got, faults := Parse("x", []byte(Format(want)), nil)
		if len(faults) > 0 {
			t.Fatalf("%s: %v", Format(want), faults)
		}
		if !slices.Equal(got.Presses, want.Presses) || !slices.Equal(got.World, want.World) {
			t.Fatalf("%s\ngot  %v\nwant %v", Format(want), got, want)
		}
	})
}

// Whatever the text: no panic, every fault tells where and what next, and what is read prints and reads back.
func FuzzParse(f *testing.F) {
	seeds, err := filepath.Glob("testdata/seeds/*.txt")
	if err != nil || len(seeds) == 0 {
		f.Fatal("no seeds found")
	}
	for _, name := range seeds {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		script, faults := Parse("x", text, nil)
		for _, d := range faults {
			if d.Next == "" {
				t.Errorf("no next step: %+v", d)
			}
			if d.Place.File != "x" {
				t.Errorf("no place: %+v", d)
			}
		}
		again, faults := Parse("x", []byte(Format(script)), nil)
		if len(faults) > 0 || !slices.Equal(again.Presses, script.Presses) || !slices.Equal(again.World, script.World) {
			t.Fatalf("%q reads back as %v, %v", Format(script), again, faults)
		}
	})
}
