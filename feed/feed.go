package feed

import (
	"fmt"
	"strings"

	"lampwright/units"
)

// Kind is how a wire is switched.
type Kind string

// The kinds of wire.
const (
	Steady  Kind = "steady"  // on as long as the function is on
	Flasher Kind = "flasher" // goes on and off with the car's flasher
	Dimmed  Kind = "dimmed"  // pulsed all the time it is on
	Relay   Kind = "relay"   // a contact of a relay box; nothing else stands on the wire
)

// Words lists the kinds.
func (Kind) Words() []string {
	return []string{string(Steady), string(Flasher), string(Dimmed), string(Relay)}
}

// Feed is what a factory wire does. A part that is zero does not occur. Check tells what may stand together.
type Feed struct {
	Kind      Kind
	Dimmed    Pulses           // while on
	Chopped   Chopping         // while on, when the supply is high
	TestPulse TestPulse        // while off
	Leak      Leak             // while off
	Bounce    units.Time       // after each edge the wire may go either way for this long; 0: not known, practice holds
	PullDown  units.Resistance // fitted by the kit between the wire and ground; 0: none
}

// Pulses are regular: high for Duty of each period, low for the rest.
type Pulses struct {
	Duty units.Share     // share of the period that is high
	At   units.Frequency // periods a second
}

// Chopping is pulsing that spares bulbs: steady up to a supply voltage, pulsed above it.
type Chopping struct {
	Above units.Voltage
	Pulses
}

// TestPulse is how a car looks for dead bulbs while the lamp is off: it goes high for Width, once or again and again.
type TestPulse struct {
	Width units.Time // longest
	Every units.Time // least time from the start of one to the start of the next; 0: single
}

// Leak is the voltage at which an unloaded wire stands while off, and the resistance through which it comes.
type Leak struct {
	Volts   units.Voltage
	Through units.Resistance // 0: not known
}

// LeakOf gives the leak of a wire that was measured while off, without a load and then with a resistor from the wire to ground.
// It fails when the loaded voltage is not between zero and the unloaded one.
func LeakOf(unloaded, loaded units.Voltage, load units.Resistance) (Leak, error) {
	if loaded <= 0 || loaded >= unloaded || load <= 0 {
		return Leak{}, fmt.Errorf("the voltage with %s to ground must lie between 0 V and the %s without it, not at %s", load, unloaded, loaded)
	}
	return Leak{Volts: unloaded, Through: load * units.Resistance(unloaded/loaded-1)}, nil
}

// Pulsed gives the pulses that the wire may show while on, dimmed or chopped, and whether there are any.
func (f Feed) Pulsed() (Pulses, bool) {
	if f.Dimmed != (Pulses{}) {
		return f.Dimmed, true
	}
	return f.Chopped.Pulses, f.Chopped.Pulses != (Pulses{})
}

// String tells in one line what the wire does.
func (f Feed) String() string {
	parts := []string{string(f.Kind)}
	if f.Kind == "" {
		parts[0] = "of no kind"
	}
	if f.Dimmed != (Pulses{}) {
		parts[0] += " " + f.Dimmed.String()
	}
	if f.Chopped != (Chopping{}) {
		parts = append(parts, fmt.Sprintf("above %s chopped %s", f.Chopped.Above, f.Chopped.Pulses))
	}
	if f.TestPulse != (TestPulse{}) {
		parts = append(parts, f.TestPulse.String())
	}
	if f.Leak != (Leak{}) {
		parts = append(parts, f.Leak.String())
	}
	if f.Bounce != 0 {
		parts = append(parts, fmt.Sprintf("bounces for %s", f.Bounce))
	}
	if f.PullDown != 0 {
		parts = append(parts, fmt.Sprintf("%s to ground", f.PullDown))
	}
	return strings.Join(parts, ", ")
}

// Written gives the feed in one line, as a job document has it: {kind: dimmed, duty: 20 %, at: 200 Hz}. Quantities have the digits that
// their types print.
func (f Feed) Written() string {
	keys := []string{"kind: " + string(f.Kind)}
	add := func(format string, args ...any) { keys = append(keys, fmt.Sprintf(format, args...)) }
	written := func(p Pulses) string { return fmt.Sprintf("duty: %s, at: %s", p.Duty, p.At) }
	if f.Dimmed != (Pulses{}) {
		add("%s", written(f.Dimmed))
	}
	if f.Chopped != (Chopping{}) {
		add("chopped: {above: %s, %s}", f.Chopped.Above, written(f.Chopped.Pulses))
	}
	if p := f.TestPulse; p != (TestPulse{}) {
		every := ""
		if p.Every != 0 {
			every = fmt.Sprintf(", every: %s", p.Every)
		}
		add("test-pulse: {width: %s%s}", p.Width, every)
	}
	if l := f.Leak; l != (Leak{}) {
		through := ""
		if l.Through != 0 {
			through = fmt.Sprintf(", through: %s", l.Through)
		}
		add("leak: {volts: %s%s}", l.Volts, through)
	}
	if f.PullDown != 0 {
		add("pull-down: %s", f.PullDown)
	}
	if f.Bounce != 0 {
		add("bounce: %s", f.Bounce)
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

// String gives duty and frequency, such as "20 % at 200 Hz".
func (p Pulses) String() string { return fmt.Sprintf("%s at %s", p.Duty, p.At) }

// String gives width and spacing.
func (p TestPulse) String() string {
	if p.Every == 0 {
		return fmt.Sprintf("single test pulses of %s when off", p.Width)
	}
	return fmt.Sprintf("test pulses of %s every %s when off", p.Width, p.Every)
}

// String gives the voltage and what it comes through.
func (l Leak) String() string {
	if l.Through == 0 {
		return fmt.Sprintf("floats at %s when off", l.Volts)
	}
	return fmt.Sprintf("leaks %s through %s when off", l.Volts, l.Through)
}
