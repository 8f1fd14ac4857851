package car

import (
	"maps"
	"math"

	"lampwright/kit"
	"lampwright/script"
	"lampwright/units"
)

// Hands is what somebody does to a car by hand.
type Hands struct {
	Inputs map[string]bool   // those that are on; all others are off
	Supply units.Voltage     // of the car
	Heat   units.Temperature // at every board's sensor
	Gone   bool              // no battery feed at any module: what feeds it through diodes is all that it has
}

// live is a rig that is in somebody's hands instead of its script's. Wires do what their feeds say while on; bounce, leaks and test
// pulses are left out.
type live struct {
	kit     *kit.Kit
	hands   Hands
	flashed map[*kit.Input]units.Time // when each wire that carries the stop was last the flasher's
	states  []*state                  // of each module
	levels  []bool                    // what each wire asks now
}

// Hold lets hands have supply, inputs and heat of all modules from now on, whatever the script says of these and of taps, feeds, straps
// and dead modules; outputs and a link wire that it breaks stay broken.
func (r *Rig) Hold(k *kit.Kit, h Hands) {
	if r.live == nil {
		r.live = &live{kit: k, flashed: map[*kit.Input]units.Time{}, levels: make([]bool, len(k.Inputs))}
		d := &driver{kit: k, line: script.Script{}.Timeline(0)}
		for i := range r.modules {
			s := newState(d, r.modules[i].unit.Of)
			s.levels = r.live.levels
			r.live.states = append(r.live.states, s)
		}
	}
	h.Inputs = maps.Clone(h.Inputs)
	r.live.hands = h
	for i, s := range r.live.states {
		s.volts = h.Supply
		s.held = held{gone: h.Gone, heat: s.m.Board.Heat.Code(h.Heat), strap: StrapOf(s.m), linkOpen: r.modules[i].now.LinkOpen}
	}
	r.live.pins(r)
}

// pins puts what the hands do to the pins of all modules.
func (l *live) pins(r *Rig) {
	for i, in := range l.kit.Inputs {
		l.levels[i] = in.Shares == nil && l.wire(in, r.at, l.hands.Supply)
	}
	for i, s := range l.states {
		m := &r.modules[i]
		lost := s.tank.until(r.at) >= 0
		if m.now = s.pins(); lost || !m.now.Powered {
			m.stop()
		}
	}
}

// wire tells whether a wire asks.
func (l *live) wire(in *kit.Input, at units.Time, supply units.Voltage) bool {
	pressed := l.hands.Inputs
	high := pressed[in.Name] && pulse(in, at, supply)
	for _, other := range l.kit.Inputs {
		switch {
		case !pressed[other.Name]:
		case other.Shares == in:
			high = high || pulse(other, at, supply)
		case in.CarriesStop && other.Road == "stop" && (in.Reference == nil || in.Reference == other):
			last, ever := l.flashed[in]
			high = high || !pressed[in.Name] && (!ever || at-last >= kit.LeverGap)
		}
	}
	if in.CarriesStop && pressed[in.Name] {
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
