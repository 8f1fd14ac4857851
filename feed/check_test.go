package feed

import (
	"strings"
	"testing"

	"lampwright/units"
)

func TestCheck(t *testing.T) {
	good := Feed{Kind: Steady, Chopped: Chopping{13.2, Pulses{0.9, 100}}, TestPulse: TestPulse{300, 100_000}, Leak: Leak{3.5, 5500}, Bounce: 4000, PullDown: 2200}
	if list := good.Check(); len(list) > 0 {
		t.Fatal(list)
	}
	nan := units.Voltage(0)
	nan /= nan
	for _, c := range []struct {
		says string
		with func(*Feed)
	}{
		{"is no kind of wire", func(f *Feed) { f.Kind = "stedy" }},
		{"is no kind of wire", func(f *Feed) { f.Kind = "" }},
		{"duty and frequency are missing", func(f *Feed) { f.Kind, f.Chopped = Dimmed, Chopping{} }},
		{"yet it has the duty", func(f *Feed) { f.Dimmed, f.Chopped = Pulses{0.2, 200}, Chopping{} }},
		{"dimmed and chopped", func(f *Feed) { f.Kind, f.Dimmed = Dimmed, Pulses{0.2, 200} }},
		{"comes from a relay", func(f *Feed) { f.Kind, f.Chopped = Relay, Chopping{} }},
		{"comes from a relay", func(f *Feed) { f.Kind, f.TestPulse = Relay, TestPulse{} }},
		{"duty of the dimmed wire is 0.5 %", func(f *Feed) { f.Kind, f.Chopped, f.Dimmed = Dimmed, Chopping{}, Pulses{0.005, 200} }},
		{"frequency of the dimmed wire is 2.1 kHz", func(f *Feed) { f.Kind, f.Chopped, f.Dimmed = Dimmed, Chopping{}, Pulses{0.5, 2100} }},
		{"duty of the chopped wire is 40 %", func(f *Feed) { f.Chopped.Duty = 0.4 }},
		{"frequency of the chopped wire is 0 Hz", func(f *Feed) { f.Chopped.At = 0 }},
		{"above which the wire is chopped is 132 V", func(f *Feed) { f.Chopped.Above = 132 }},
		{"above which the wire is chopped is NaN", func(f *Feed) { f.Chopped.Above = nan }},
		{"width of the test pulses is 30 ms", func(f *Feed) { f.TestPulse.Width = 30_000 }},
		{"width of the test pulses is 0 ms", func(f *Feed) { f.TestPulse.Width = 0 }},
		{"time between test pulses is 11 s", func(f *Feed) { f.TestPulse.Every = 11_000_000 }},
		{"test pulses of 0.3 ms come every 0.3 ms", func(f *Feed) { f.TestPulse.Every = 300 }},
		{"floats when off is 24 V", func(f *Feed) { f.Leak.Volts = 24 }},
		{"through which the wire leaks is 5 MΩ", func(f *Feed) { f.Leak.Through = 5e6 }},
		{"bounce time is 60 ms", func(f *Feed) { f.Bounce = 60_000 }},
		{"resistor from the wire to ground is 1 Ω", func(f *Feed) { f.PullDown = 1 }},
	} {
		f := good
		c.with(&f)
		list := f.Check()
		if !list.HasErrors() || !strings.Contains(list.Error(), c.says) {
			t.Errorf("want %q in %q", c.says, list.Error())
		}
		for _, d := range list {
			if d.Next == "" {
				t.Errorf("%v has no next step", d)
			}
		}
		if _, _, l := FilterFor(f, "stop"); !l.HasErrors() {
			t.Errorf("%s: FilterFor takes an unfit feed", f)
		}
	}
}

func TestString(t *testing.T) {
	for want, f := range map[string]Feed{
		"dimmed 20 % at 200 Hz, floats at 3.5 V when off": {Kind: Dimmed, Dimmed: Pulses{0.2, 200}, Leak: Leak{Volts: 3.5}},
		"steady, above 13.2 V chopped 90 % at 100 Hz, test pulses of 0.3 ms every 100 ms when off, leaks 3.5 V through 5.5 kΩ when off, 2.2 kΩ to ground": {
			Kind: Steady, Chopped: Chopping{13.2, Pulses{0.9, 100}}, TestPulse: TestPulse{300, 100_000}, Leak: Leak{3.5, 5500}, PullDown: 2200},
		"relay, bounces for 8 ms":                      {Kind: Relay, Bounce: 8000},
		"flasher, single test pulses of 1 ms when off": {Kind: Flasher, TestPulse: TestPulse{Width: 1000}},
		"of no kind": {},
	} {
		if got := f.String(); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
}
