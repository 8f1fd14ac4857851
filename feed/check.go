package feed

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/report"
	"lampwright/units"
)

// What may be entered. The ranges are wider than any car that is known, so that odd wires can be described; they catch slips
// of the unit. Common practice, no source.
const (
	minDuty, maxDuty       = units.Share(0.01), units.Share(0.99)
	minChopDuty            = units.Share(0.5) // less is no longer a bulb at full light
	minAt, maxAt           = units.Frequency(20), units.Frequency(2000)
	minAbove, maxAbove     = units.Voltage(9), units.Voltage(16)
	minWidth, maxWidth     = 20 * units.Microsecond, 20 * units.Millisecond
	maxEvery               = 10 * units.Second
	minLeak, maxLeak       = units.Voltage(0.1), units.Voltage(16)
	minThrough, maxThrough = units.Resistance(10), units.Resistance(1e6)
	maxBounce              = 50 * units.Millisecond // contacts that bounce longer are broken
	minPull, maxPull       = units.Resistance(10), units.Resistance(100e3)
)

// Check gives what is missing, out of range or contradictory. The diagnostics have no place: the caller knows where the feed
// stands. A feed without errors is fit for every function of this package.
func (f Feed) Check() (list report.List) {
	list.Add(f.ranges()...)
	list.Add(f.contradictions()...)
	return list
}

// number is a quantity that prints itself.
type number interface {
	~int64 | ~float64
	String() string
}

// within reports a quantity outside its range.
func within[T number](what string, v, low, high T) report.List {
	// The negation catches what is not a number as well.
	if v >= low && v <= high {
		return nil
	}
	return report.List{report.Errorf("feed-range", report.Place{}, "%s is %s", what, v).
		Expect("%s to %s", low, high).Do("measure the wire, or mind the unit")}
}

func (f Feed) ranges() (list report.List) {
	add := func(l report.List) { list.Add(l...) }
	if f.Dimmed != (Pulses{}) {
		add(within("the duty of the dimmed wire", f.Dimmed.Duty, minDuty, maxDuty))
		add(within("the frequency of the dimmed wire", f.Dimmed.At, minAt, maxAt))
	}
	if f.Chopped != (Chopping{}) {
		add(within("the voltage above which the wire is chopped", f.Chopped.Above, minAbove, maxAbove))
		add(within("the duty of the chopped wire", f.Chopped.Duty, minChopDuty, maxDuty))
		add(within("the frequency of the chopped wire", f.Chopped.At, minAt, maxAt))
	}
	if f.TestPulse != (TestPulse{}) {
		add(within("the width of the test pulses", f.TestPulse.Width, minWidth, maxWidth))
		if f.TestPulse.Every != 0 {
			add(within("the time between test pulses", f.TestPulse.Every, minWidth, maxEvery))
		}
	}
	if f.Leak != (Leak{}) {
		add(within("the voltage at which the wire floats when off", f.Leak.Volts, minLeak, maxLeak))
		if f.Leak.Through != 0 {
			add(within("the resistance through which the wire leaks", f.Leak.Through, minThrough, maxThrough))
		}
	}
	if f.Bounce != 0 {
		add(within("the bounce time", f.Bounce, units.Microsecond, maxBounce))
	}
	if f.PullDown != 0 {
		add(within("the resistor from the wire to ground", f.PullDown, minPull, maxPull))
	}
	return list
}

func (f Feed) contradictions() (list report.List) {
	say := func(why, next, format string, args ...any) {
		list.Add(report.Errorf("feed-contradiction", report.Place{}, format, args...).Because("%s", why).Do("%s", next))
	}
	if !slices.Contains(f.Kind.Words(), string(f.Kind)) {
		list.Add(report.Errorf("feed-kind", report.Place{}, "%q is no kind of wire", string(f.Kind)).
			DidYouMean(string(f.Kind), f.Kind.Words()).Expect("%s", strings.Join(f.Kind.Words(), ", ")).
			Do("say how the wire is switched"))
	}
	dimmed, chopped, tested := f.Dimmed != (Pulses{}), f.Chopped != (Chopping{}), f.TestPulse != (TestPulse{})
	if f.Kind == Dimmed && !dimmed {
		say("how far the pulses stand apart decides how long the module waits for the next", "enter duty and frequency",
			"the wire is dimmed, but its duty and frequency are missing")
	}
	if f.Kind != Dimmed && dimmed {
		say("one wire cannot be both", "say kind: dimmed, or take the pulses out",
			"the wire is %s, yet it has the duty and frequency of a dimmed one", f.Kind)
	}
	if dimmed && chopped {
		say("a wire that is pulsed already is not pulsed again above a voltage", "enter the pulses with the longer low part as dimmed, and take the other out",
			"the wire is dimmed and chopped")
	}
	if f.Kind == Relay && (chopped || tested) {
		say("the contact of a relay stays open or closed", "say kind: steady if a control unit drives the wire; else take the pulses out",
			"the wire comes from a relay, yet it is pulsed")
	}
	if t := f.TestPulse; tested && t.Every != 0 && t.Every <= t.Width {
		say("a pulse ends before the next begins", fmt.Sprintf("enter the time from the start of one pulse to the start of the next, longer than %s", t.Width),
			"test pulses of %s come every %s", t.Width, t.Every)
	}
	return list
}
