package car

import (
	"slices"

	"lampwright/kit"
	"lampwright/program"
	"lampwright/script"
	"lampwright/units"
)

// state is one module on its way through a script.
type state struct {
	d      *driver
	m      *kit.Module
	tank   reservoir
	uses   []bool // wires that reach the module, by index of the kit's inputs
	levels []bool // what each asks now
	next   []int  // next edge of each
	volts  units.Voltage
	level  int // next level of the supply
	turns  []units.Time
	held   held
	bits   []bit
	diodes []diode
	enough units.Voltage // from where on an input reads as high
}

// diode is a wire that feeds the module.
type diode struct {
	name string
	wire int // index of the kit's inputs
}

// bit is an input of the module with its wire.
type bit struct {
	mask uint8
	wire int // index of the kit's inputs
	in   *kit.Input
	tap  string
}

// held is what conditions say of a module.
type held struct {
	gone, dead bool
	tap        map[string]string
	feed       map[string]bool // open
	heat       uint8           // code
	strap      program.Side
	linkOpen   bool
}

func newState(d *driver, m *kit.Module) *state {
	n := len(d.kit.Inputs)
	s := &state{d: d, m: m, uses: make([]bool, n), levels: make([]bool, n), next: make([]int, n), turns: d.line.Turns(), enough: m.Board.Input.HighFrom()}
	if m.TurnFed() {
		s.tank.spare = bridged
	}
	for i, in := range d.kit.Inputs {
		if in.Shares != nil {
			continue // no pin of the board
		}
		for _, p := range in.Pins {
			if p.Module == m {
				s.uses[i] = true
				s.bits = append(s.bits, bit{mask: 1 << p.In, wire: i, in: in, tap: TapName(m, p.In)})
			}
		}
	}
	for _, in := range feeders(m) {
		wire := wireOf(d.kit, in)
		s.uses[wire] = true
		s.diodes = append(s.diodes, diode{FeedName(m, in), wire})
	}
	return s
}

// feeders gives the wires that feed a module.
func feeders(m *kit.Module) []*kit.Input {
	if m.Fed.Only != nil {
		return []*kit.Input{m.Fed.Only}
	}
	return m.Fed.Also
}

// goTo changes what changes at a time and gives what then stands at the pins.
func (s *state) goTo(at units.Time) Pins {
	for s.level < len(s.d.supply) && s.d.supply[s.level].At <= at {
		s.volts = s.d.supply[s.level].Volts
		s.level++
	}
	for i, edges := range s.d.asks {
		for s.uses[i] && s.next[i] < len(edges) && edges[s.next[i]].At <= at {
			s.levels[i] = edges[s.next[i]].High
			s.next[i]++
		}
	}
	if len(s.turns) > 0 && s.turns[0] <= at {
		for len(s.turns) > 0 && s.turns[0] <= at {
			s.turns = s.turns[1:]
		}
		s.held = s.conditions(at)
	}
	return s.pins()
}

// pins feeds the module and gives what stands at its pins.
func (s *state) pins() Pins {
	s.tank.change(s.feed())
	return Pins{
		Powered: s.tank.powered, Lived: s.tank.lived, Rail: s.tank.rail(), In: s.inputs(),
		Codes: program.Codes{Supply: s.m.Board.Supply.Code(s.tank.rail()), Heat: s.held.heat},
		Strap: s.held.strap, LinkOpen: s.held.linkOpen,
	}
}

// conditions gathers what holds of the module at a time; the condition written last counts.
func (s *state) conditions(at units.Time) held {
	h := held{tap: map[string]string{}, feed: map[string]bool{}, strap: StrapOf(s.m)}
	degrees := RoomDegrees
	for _, c := range s.d.line.Holding(at) {
		mine := c.Where == "" || c.Where == s.m.Name
		switch c.What {
		case script.Heat:
			if mine {
				degrees = c.Degrees
			}
		case script.Battery:
			h.gone = h.gone || mine || c.Where == s.m.Fed.Fuse
		case script.Module:
			h.dead = h.dead || mine
		case script.Link:
			h.linkOpen = h.linkOpen || mine && c.Is == script.Open
		case script.Strap:
			if mine && s.m.Strap {
				h.strap = map[string]program.Side{script.LH: program.LH, script.RH: program.RH}[c.Is]
			}
		case script.Feed:
			h.feed[c.Where] = true
		case script.Tap:
			for _, name := range together(s.d.kit, c.Where) {
				h.tap[name] = c.Is
			}
		}
	}
	h.heat = s.m.Board.Heat.Code(degrees)
	return h
}

// together gives the taps that are one with a tap: all pins of an input that hangs on the car's wire in one place.
func together(k *kit.Kit, name string) []string {
	for _, in := range k.Inputs {
		if !in.OneTap {
			continue
		}
		var all []string
		for _, p := range in.Pins {
			all = append(all, TapName(p.Module, p.In))
		}
		if slices.Contains(all, name) {
			return all
		}
	}
	return []string{name}
}

// StrapOf gives what the side strap in a module's plug says when it is as it should be.
func StrapOf(m *kit.Module) program.Side {
	if !m.Strap {
		return program.Centre
	}
	return program.Side(m.Lamp.Place.Side)
}

// feed gives the highest voltage that a battery or a wire feeds the module with.
func (s *state) feed() units.Voltage {
	if s.held.dead {
		return 0
	}
	volts := units.Voltage(0)
	if s.m.Fed.Only == nil && !s.held.gone {
		volts = s.volts
	}
	for _, d := range s.diodes {
		if s.held.feed[d.name] {
			continue
		}
		high := s.levels[d.wire] && !s.d.kit.Inputs[d.wire].ActiveLow
		for _, b := range s.bits {
			if b.wire == d.wire {
				high = tapped(high, s.held.tap[b.tap])
			}
		}
		if high {
			volts = max(volts, s.volts-feedDrop)
		}
	}
	return volts
}

// tapped gives the level behind a tap.
func tapped(high bool, is string) bool {
	switch is {
	case script.Open, script.AtGround:
		return false
	case script.AtSupply:
		return true
	}
	return high
}

// inputs gives the levels at the pins. A wire below what the board's input reads as high at every tolerance reads as low.
func (s *state) inputs() uint8 {
	enough := s.volts >= s.enough
	var in uint8
	for _, b := range s.bits {
		tap := s.held.tap[b.tap]
		high := tapped(s.levels[b.wire] && enough, tap)
		if b.in.ActiveLow {
			high = tap == script.Open || tapped(!s.levels[b.wire], tap) // the board pulls an open one up
		} else if tap == script.AtSupply {
			high = enough
		}
		if high {
			in |= b.mask
		}
	}
	return in
}
