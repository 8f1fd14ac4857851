package script

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"lampwright/report"
	"lampwright/units"
)

// places is a small job's worth of names.
var places = Names{Inputs: demoInputs, Where: map[What][]string{
	Heat: {"rear-lh", "rear-rh"}, Battery: {"rear-lh", "rear-rh", "F3"}, Tap: {"rear-lh.in1", "rear-lh.in2"}, Feed: {},
	Output: {"rear-lh.1", "rear-lh.13"}, Link: {"rear-lh"}, Strap: {"rear-lh"}, Module: {"rear-lh", "rear-rh"},
}}

func TestConditionsAreRead(t *testing.T) {
	text := "supply=6.5V@2s..2020ms stop@1s..3s supply=crank@4s..6s heat:rear-lh=90°C heat=-5C battery:F3=gone@1s..2s\n" +
		"tap:rear-lh.in2=ground output:rear-lh.13=on link=supply link:rear-lh=open strap:rear-lh=RH module:rear-rh=dead@0s..1s"
	got, faults := ParseIn("x", []byte(text), places)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := []Condition{
		{What: Supply, Volts: 6.5, From: 2 * s, To: 2020 * ms},
		{What: Supply, Is: Crank, From: 4 * s, To: 6 * s},
		{What: Heat, Where: "rear-lh", Degrees: 90},
		{What: Heat, Degrees: -5},
		{What: Battery, Where: "F3", Is: Gone, From: 1 * s, To: 2 * s},
		{What: Tap, Where: "rear-lh.in2", Is: AtGround},
		{What: Output, Where: "rear-lh.13", Is: On},
		{What: Link, Is: AtSupply},
		{What: Link, Where: "rear-lh", Is: Open},
		{What: Strap, Where: "rear-lh", Is: RH},
		{What: Module, Where: "rear-rh", Is: Dead, To: 1 * s},
	}
	if !slices.Equal(got.World, want) {
		t.Errorf("got  %v\nwant %v", got.World, want)
	}
	if len(got.Presses) != 1 || got.Len() != 6*s || got.Timeline(0).End() != 6*s {
		t.Errorf("presses %v, %v long", got.Presses, got.Len())
	}
}

func TestConditionFaults(t *testing.T) {
	for _, c := range []struct {
		text   string
		id     string
		column int
		length int
		says   string
	}{
		{"suply=6V", "script-condition", 1, 5, `"suply" is nothing`},
		{"=6V", "script-condition", 1, 1, `"" is nothing`},
		{"supply=", "script-value", 8, 1, `supply cannot be ""`},
		{"supply=6", "script-value", 8, 1, `supply cannot be "6"`},
		{"supply=41V", "script-value", 8, 3, `supply cannot be "41V"`},
		{"supply=-1V", "script-value", 8, 3, `supply cannot be`},
		{"supply=6.5001V", "script-value", 8, 7, `supply cannot be`},
		{"supply:rear-lh=6V", "script-where", 8, 7, "the same everywhere"},
		{"supply=crank", "script-value", 8, 5, "lasts 170 ms at least"},
		{"supply=crank@1s..1.1s", "script-value", 8, 5, "lasts 170 ms at least"},
		{"supply=6V@1s", "script-times", 11, 2, "from when to when"},
		{"supply=6V@", "script-times", 11, 1, "from when to when"},
		{"supply=6V@3s..1s", "script-times", 11, 6, "the condition ends at 1 s"},
		{"supply=6V@0s..61min", "script-time", 15, 5, "later than is played"},
		{"heat=200C", "script-value", 6, 4, `heat cannot be "200C"`},
		{"heat:rear-hl=90C", "script-unknown-place", 6, 7, `no "rear-hl" for heat`},
		{"heat:=90C", "script-where", 6, 1, `"" is no place`},
		{"battery=flat", "script-value", 9, 4, `battery cannot be "flat"`},
		{"tap=open", "script-where", 1, 3, "does not say where"},
		{"tap:rear-lh.in9=open", "script-unknown-place", 5, 11, `no "rear-lh.in9" for tap`},
		{"feed:rear-lh.stop=open", "script-unknown-place", 6, 12, "for feed"},
		{"link=open", "script-value", 6, 4, "open at one module's end"},
		{"link:rear-lh=low", "script-value", 14, 3, "low for all modules"},
		{"strap:rear-lh=lh", "script-value", 15, 2, `strap cannot be "lh"`},
	} {
		got, faults := ParseIn("x", []byte(c.text+" stop@1s..2s"), places)
		if len(faults) != 1 {
			t.Errorf("%s: %d faults: %v", c.text, len(faults), faults)
			continue
		}
		f := faults[0]
		if f.ID != c.id || f.Place.Column != c.column || f.Place.Length != c.length || !strings.Contains(f.Text, c.says) || f.Next == "" {
			t.Errorf("%s: %s at %d+%d: %s; %s", c.text, f.ID, f.Place.Column, f.Place.Length, f.Text, f.Next)
		}
		if len(got.Presses) != 1 || len(got.World) != 0 {
			t.Errorf("%s: left %v", c.text, got)
		}
	}
	_, faults := ParseIn("presses.txt", []byte("suply=6V tap=open heat:rear-hl=900C@1s\nsupply:all=3 supply=crank link=open"), places)
	var out bytes.Buffer
	if err := report.Render(&out, faults); err != nil {
		t.Fatal(err)
	}
	golden(t, "world.txt", out.Bytes())
}

func TestTooManyConditions(t *testing.T) {
	text := strings.Repeat("supply=6V ", MaxConditions)
	if got, faults := Parse("x", []byte(text), nil); len(faults) > 0 || len(got.World) != MaxConditions {
		t.Error(faults)
	}
	if got, faults := Parse("x", []byte(text+"supply=6V"), nil); len(faults) != 1 || len(got.World) > 0 || faults[0].Next == "" {
		t.Error(faults)
	}
}

// Of conditions that hold at once the last written counts.
func TestSupplyLevels(t *testing.T) {
	line := mustParse(t, "supply=12V supply=9V@1s..3s supply=6V@2s..4s supply=6V@5s..6s stop@0s..1s").Timeline(0)
	want := []Level{{0, 12}, {1 * s, 9}, {2 * s, 6}, {4 * s, 12}, {5 * s, 6}, {6 * s, 12}}
	if got := line.SupplyLevels(13.5); !slices.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
	if got := mustParse(t, "stop@0s..1s").Timeline(0).SupplyLevels(13.5); !slices.Equal(got, []Level{{0, 13.5}}) {
		t.Errorf("got %v", got)
	}
	if got := line.Turns(); !slices.Equal(got, []units.Time{0, 1 * s, 2 * s, 3 * s, 4 * s, 5 * s, 6 * s}) {
		t.Errorf("turns %v", got)
	}
}

// A crank dip falls to 6 V within 5 ms, is at its deepest for 15 ms, below what is left while the starter turns for 70 ms in
// all, and ends where it began: figures of ISO 16750-2, starting profile of level IV, from memory.
func TestCrankDip(t *testing.T) {
	levels := mustParse(t, "supply=crank@2s..4s").Timeline(0).SupplyLevels(13.5)
	at := func(at units.Time) units.Voltage {
		v := units.Voltage(0)
		for _, l := range levels {
			if l.At <= at {
				v = l.Volts
			}
		}
		return v
	}
	for _, c := range []struct {
		at   units.Time
		want units.Voltage
	}{{0, 13.5}, {2*s - 1, 13.5}, {2004 * ms, 6}, {2020*ms - 1, 6}, {2069 * ms, 6.5}, {3 * s, 6.5}, {3900*ms - 1, 6.5}, {3999 * ms, 13.5}, {5 * s, 13.5}} {
		if got := at(c.at); got != c.want {
			t.Errorf("at %v: %v, want %v", c.at, got, c.want)
		}
	}
	if at(2002*ms) <= 6 || at(2002*ms) >= 13.5 || at(3950*ms) <= 6.5 || at(3950*ms) >= 13.5 {
		t.Error("the slopes are missing")
	}
	// It starts from what the supply was, and never lifts a supply that is lower.
	for _, l := range mustParse(t, "supply=5V supply=crank@2s..4s").Timeline(0).SupplyLevels(13.5) {
		if l.Volts != 5 {
			t.Errorf("%v at %v", l.Volts, l.At)
		}
	}
}

// A condition that nothing in the job could feel is a slip, not a condition.
func TestConditionOfNothing(t *testing.T) {
	names := Names{Inputs: []string{"stop"}, Where: map[What][]string{Link: {}, Strap: {}, Battery: {"left"}}}
	got, faults := ParseIn("x", []byte("stop@1s..2s battery=gone link=low strap=LH"), names)
	if len(faults) != 2 || len(got.World) != 1 || faults[0].ID != "script-unknown-place" || faults[0].Next == "" || !strings.Contains(faults[0].Text, `"link"`) {
		t.Errorf("%v, %v", faults, got.World)
	}
}
