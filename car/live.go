package car

import (
	"math"
	"strings"

	"lampwright/kit"
	"lampwright/units"
)

// live is a rig whose inputs are pressed by hand instead of by its script. Wires do what their feeds say while on; bounce, leaks and
// test pulses are left out.
type live struct {
	kit     *kit.Kit
	pressed map[string]bool
	flashed map[*kit.Input]units.Time // when each wire that carries the stop was last the flasher's
}

// lever is how long after a flash the flasher still has a wire that carries the stop: kit.Wire's rule.
const lever = units.Second

// Press lets inputs be on from now on, all others off, whatever the script says; the rest of the script goes on.
func (r *Rig) Press(k *kit.Kit, inputs map[string]bool) {
	if r.live == nil {
		r.live = &live{kit: k, flashed: map[*kit.Input]units.Time{}}
	}
	r.live.pressed = map[string]bool{}
	for name, on := range inputs {
		r.live.pressed[name] = on
	}
}

// inputs gives the levels at a module's inputs.
func (l *live) inputs(m *kit.Module, at units.Time, supply units.Voltage) (in uint8) {
	for _, input := range l.kit.Inputs {
		if input.Shares != nil {
			continue
		}
		mask := m.InputPins(input)
		if mask != 0 && l.wire(input, at, supply) != input.ActiveLow {
			in |= mask
		}
	}
	return in
}

// wire tells whether a wire asks.
func (l *live) wire(in *kit.Input, at units.Time, supply units.Voltage) bool {
	high := l.pressed[in.Name] && pulse(in, at, supply)
	for _, other := range l.kit.Inputs {
		switch {
		case !l.pressed[other.Name]:
		case other.Shares == in:
			high = high || pulse(other, at, supply)
		case in.CarriesStop && other.Road == "stop" && (in.Reference == nil || in.Reference == other):
			last, ever := l.flashed[in]
			high = high || !l.pressed[in.Name] && (!ever || at-last > lever)
		}
	}
	if in.CarriesStop && l.pressed[in.Name] && strings.HasPrefix(in.Road, "turn-") {
		l.flashed[in] = at
	}
	return high
}

// pulse tells whether a wire that is meant to be on is high at a time.
func pulse(in *kit.Input, at units.Time, supply units.Voltage) bool {
	p, pulsed := in.Feed.Pulsed()
	if !pulsed || in.Feed.Chopped.Above > 0 && supply <= in.Feed.Chopped.Above {
		return true
	}
	_, part := math.Modf(float64(at) / float64(units.Second) * float64(p.At))
	return part < float64(p.Duty)
}
