package compile

import (
	"math/bits"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
)

// safe sets up what a module does before, and without, a good image: stop full on stop, tail dim on tail, turn as its input
// says. A function's outputs are those of the groups that its signals take and those of the zone that the lamp names for it.
func (c *compiler) safe(out *Module) *program.Safe {
	m := out.Of
	s := &program.Safe{Registers: out.Program.Registers, Over: out.over, TurnWaits: turnFed(m), StopTurn: c.stopTurns(m)}
	spare, _, _ := feed.FilterFor(feed.Feed{Kind: feed.Relay}, "")
	for i := range s.On {
		s.On[i], s.Off[i] = spare.On, spare.Off
	}
	for _, in := range c.kit.Inputs {
		f := c.filters[in]
		for _, p := range in.Pins {
			if p.Module != m {
				continue
			}
			s.On[p.In], s.Gap[p.In], s.Off[p.In] = f.On, f.Gap, f.Off
			if in.Shares != nil {
				s.Shared = program.Shared{Used: true, From: uint8(bits.TrailingZeros8(m.InputPins(in.Shares))), As: uint8(p.In)}
			}
			if in.ActiveLow {
				s.Invert |= 1 << p.In
			}
		}
	}
	for _, f := range []struct {
		road, function string
		side           program.Side // the zone counts only on this side; Centre: on any
		inputs         *uint8
		outputs        *[program.MaxRegisters]uint8
	}{
		{"stop", "stop", program.Centre, &s.Stop, &s.StopOut},
		{"tail", "tail", program.Centre, &s.Tail, &s.TailOut},
		{"turn-lh", "turn", program.LH, &s.TurnA, &s.TurnAOut},
		{"turn-rh", "turn", program.RH, &s.TurnB, &s.TurnBOut},
	} {
		for _, in := range c.kit.Inputs {
			if in.Road == f.road {
				*f.inputs |= reads(m, in)
			}
		}
		if *f.inputs == 0 {
			continue
		}
		for _, g := range c.groupsFor(m, f.road, f.function, f.side == program.Centre || f.side == out.Program.Side) {
			if o := m.Output[g]; o >= 0 && o < 8*s.Registers {
				f.outputs[o/8] |= 1 << (o % 8)
			}
		}
	}
	s.TailLevel = tailLevel(out)
	return s
}

// groupsFor gives the groups that light for a road input: those that its signals take and, if the zone counts, those of the
// lamp's required function.
func (c *compiler) groupsFor(m *kit.Module, road, function string, zone bool) (groups []int) {
	for _, l := range c.kit.Layers {
		if !l.Show && l.Input.Road == road {
			groups = append(groups, l.Of(m.Lamp)...)
		}
	}
	for _, f := range m.Lamp.Functions {
		if zone && f.Name == function && f.Required {
			groups = append(groups, f.Groups...)
		}
	}
	return groups
}

// tailLevel is the safe program's one tail level: the dimmest light that any group reaches in the stay of a tail signal, so
// that a tail is never taken for a stop. It is 0 without a tail signal, and then no output has a tail.
func tailLevel(out *Module) uint8 {
	dimmest := uint8(0)
	offer := func(level uint8) {
		if level > 0 && (dimmest == 0 || level < dimmest) {
			dimmest = level
		}
	}
	for i, l := range out.Layers {
		if l.Of.Show || l.Of.Input.Road != "tail" {
			continue
		}
		layer := &out.Program.Layers[i]
		for _, level := range layer.Still {
			offer(level)
		}
		if layer.Stay == nil {
			continue
		}
		brightest := make([]uint8, len(layer.Slots))
		for _, levels := range program.PlayRoutine(layer.Stay, len(layer.Slots)) {
			for slot, level := range levels {
				brightest[slot] = max(brightest[slot], level)
			}
		}
		for _, level := range brightest {
			offer(level)
		}
	}
	return uint8(nearestRest(int32(dimmest)*unit) / unit)
}
