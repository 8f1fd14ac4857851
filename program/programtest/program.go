// Package programtest makes random valid programs, safe blocks, modules and samples, for tests that compare the judges of a
// program: the reference engine, the portable core, the shipped HEX.
//
// Everything is drawn through rapid, so that a difference shrinks to a small case. Promised: Random gives only programs that
// program.Encode accepts. Not promised: that they make sense as a lamp.
package programtest

import (
	"slices"

	"lampwright/program"

	"pgregory.net/rapid"
)

// inputs is how many of the eight inputs random programs use: few, so that layers meet one another. At those after them turns
// of stop-and-turn wires are read.
const inputs = 5

// Random draws a valid program.
func Random(t *rapid.T) *program.Program {
	return RandomFor(t, rapid.IntRange(1, program.MaxRegisters).Draw(t, "registers"))
}

// RandomFor draws a valid program for a module of so many registers, 1..program.MaxRegisters.
func RandomFor(t *rapid.T, registers int) *program.Program {
	wires := randomWires(t)
	p := hand(t, registers, wires)
	p.Kit = rapid.Uint32().Draw(t, "kit")
	if p.SideByStrap && rapid.IntRange(0, 2).Draw(t, "both hands") == 0 {
		p.Other = hand(t, registers, wires)
		p.Other.Kit, p.Other.SideByStrap, p.Other.Side = p.Kit, true, program.LH+program.RH-p.Side
	}
	p.Arrange()
	return p
}

// hand draws one hand of a module.
func hand(t *rapid.T, registers int, wires []program.StopTurn) *program.Program {
	p := &program.Program{
		Lamp:      rapid.Uint16().Draw(t, "lamp"),
		Side:      program.Side(rapid.IntRange(0, 2).Draw(t, "side")),
		Registers: registers,
		Link:      program.LinkRole(rapid.IntRange(0, 2).Draw(t, "link")),
		TurnFed:   chance(t, "fed by the turn wire", 2),
		Low:       limit(t, "low supply", program.CodesAtStart.Supply),
		Warm:      limit(t, "warm", 120),
		Hot:       limit(t, "hot", 80),
	}
	p.SideByStrap = p.Side != program.Centre && rapid.Bool().Draw(t, "side by strap")
	if chance(t, "walk", 16) {
		p.Walk = true
		return p
	}
	p.Live = chance(t, "live mode", 3)
	if rapid.Bool().Draw(t, "sleeps") {
		p.SleepAfter = rapid.Uint8Range(1, 3).Draw(t, "sleep after")
	}
	for i := range p.PacerInput {
		if input := rapid.IntRange(-1, inputs-1).Draw(t, "pacer input"); input >= 0 {
			p.PacerInput[i] = 1 << input
		}
	}
	for i, w := range wires {
		if rapid.Bool().Draw(t, "pacer on a stop-and-turn wire") {
			p.PacerInput[i] = 1 << w.Wire
		}
	}
	signals := rapid.IntRange(0, 7).Draw(t, "signals")
	shows := rapid.IntRange(0, program.MaxLayers-7).Draw(t, "shows")
	if signals+shows == 0 {
		signals = 1
	}
	m := maker{t: t, p: p, wires: wires, fades: program.MaxFades, moving: program.MaxMoving}
	if p.Live {
		m.fades = program.MaxFadesLive
	}
	for i := range signals + shows {
		p.Layers = append(p.Layers, m.layer(i >= signals))
	}
	return p
}

// limit draws the limit of a code: none, or mostly below usual.
func limit(t *rapid.T, label string, usual uint8) uint8 {
	switch rapid.IntRange(0, 7).Draw(t, label+" kind") {
	case 0, 1, 2, 3, 4:
		return 0
	case 5, 6:
		return rapid.Uint8Range(1, usual).Draw(t, label)
	default:
		return rapid.Uint8().Draw(t, label)
	}
}

// maker keeps count of what the layers drawn so far have left over.
type maker struct {
	t      *rapid.T
	p      *program.Program
	wires  []program.StopTurn
	fades  int
	moving int
}

func chance(t *rapid.T, label string, oneIn int) bool {
	return rapid.IntRange(1, oneIn).Draw(t, label) == oneIn
}

func (m *maker) chance(label string, oneIn int) bool { return chance(m.t, label, oneIn) }

func (m *maker) layer(show bool) program.Layer {
	t := m.t
	l := program.Layer{
		Show:      show,
		Pace:      -1,
		InputMask: uint8(rapid.IntRange(1, 1<<inputs-1).Draw(t, "input mask")),
		Window:    m.frames("window"),
		Keep:      m.frames("keep"),
	}
	if rapid.Bool().Draw(t, "one input") {
		l.InputMask = 1 << rapid.IntRange(0, inputs-1).Draw(t, "input")
	}
	if len(m.wires) > 0 && m.chance("asked for by a turn", 3) {
		l.InputMask = 1 << rapid.SampledFrom(m.wires).Draw(t, "wire").Turn
	}
	l.NotWhile, l.OnlyWhile = m.bar("not while"), m.bar("only while")
	if show {
		l.Ends = rapid.Bool().Draw(t, "ends when interrupted")
		if m.chance("has limit", 3) {
			l.Limit = uint16(rapid.IntRange(1, 6).Draw(t, "limit"))
		}
	}
	l.Slots = m.slots()
	if m.moving == 0 || m.fades < len(l.Slots) || m.chance("still", 3) {
		m.still(&l)
		return l
	}
	m.moving--
	m.fades -= len(l.Slots)
	m.move(&l)
	return l
}

// bar draws the inputs of a bar: mostly none.
func (m *maker) bar(label string) uint8 {
	if !m.chance("has "+label, 7) {
		return 0
	}
	var mask uint8
	for range rapid.IntRange(1, 2).Draw(m.t, label+" inputs") {
		mask |= 1 << rapid.IntRange(0, inputs-1).Draw(m.t, label)
	}
	return mask
}

// frames draws a time: often none, often short, seldom long.
func (m *maker) frames(label string) uint16 {
	switch rapid.IntRange(0, 3).Draw(m.t, label+" kind") {
	case 0, 1:
		return 0
	case 2:
		return uint16(rapid.IntRange(1, 30).Draw(m.t, label))
	default:
		return uint16(rapid.IntRange(1, 65535).Draw(m.t, label))
	}
}

// slots draws a slot map: different outputs in any order.
func (m *maker) slots() []uint8 {
	outputs := 8 * m.p.Registers
	n := rapid.IntRange(1, min(outputs, 24)).Draw(m.t, "slots")
	if m.chance("all outputs", 8) {
		n = outputs
	}
	all := make([]uint8, outputs)
	for i := range all {
		all[i] = uint8(i)
	}
	return rapid.Permutation(all).Draw(m.t, "slot map")[:n]
}

func (m *maker) still(l *program.Layer) {
	if l.Fast = !l.Show && m.chance("fast", 2); l.Fast {
		l.NotWhile, l.OnlyWhile = 0, 0
	}
	l.Still = make([]uint8, len(l.Slots))
	for i := range l.Still {
		l.Still[i] = program.FullLevel
		if !l.Fast {
			l.Still[i] = rapid.Uint8().Draw(m.t, "level")
		}
	}
}

func (m *maker) move(l *program.Layer) {
	t := m.t
	if rapid.Bool().Draw(t, "has arrive") {
		l.Arrive = routine(t, len(l.Slots), maybe)
	}
	if rapid.Bool().Draw(t, "has leave") {
		l.Leave = routine(t, len(l.Slots), maybe)
	}
	l.Linked = l.Show && m.p.Link != program.NoLink && m.chance("linked", 2)
	if l.Linked {
		l.Stay = routine(t, len(l.Slots), long)
	} else {
		l.Stay = routine(t, len(l.Slots), maybe)
	}
	pacer := rapid.IntRange(0, program.MaxPacers-1).Draw(t, "pacer")
	onWire := slices.ContainsFunc(m.wires, func(w program.StopTurn) bool { return m.p.PacerInput[pacer] == 1<<w.Wire })
	if !l.Show && l.Arrive != nil && m.p.PacerInput[pacer] != 0 && (onWire || rapid.Bool().Draw(t, "at the flasher's pace")) {
		l.Pace = pacer
		l.InputMask = m.p.PacerInput[pacer]
		for _, w := range m.wires {
			if l.InputMask == 1<<w.Wire && rapid.Bool().Draw(t, "paced on a stop-and-turn wire") {
				l.InputMask = 1 << w.Turn
				break
			}
		}
	}
}
