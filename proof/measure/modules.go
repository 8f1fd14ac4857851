package measure

import (
	"fmt"
	"math/rand/v2"

	"lampwright/board"
	"lampwright/compile"
	"lampwright/flash"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/proof"
)

// Wires of the modules that are measured, in1 first.
const (
	tailWire = iota + 1
	stopWire
	turnWire
	fullWire // a signal at full light without the stop override
	showWire
)

// unit is a module to be measured, with what it was made of.
type unit struct {
	proof.Module
	program *program.Program
	safe    *program.Safe
}

// outputs gives the set of outputs that the layer of a name takes.
func (u *unit) outputs(layer string) (mask, error) {
	for _, l := range u.program.Layers {
		if l.Name == layer {
			return maskOf(l.Slots...), nil
		}
	}
	return mask{}, fmt.Errorf("module %s has no layer %q", u.Name, layer)
}

// compiled compiles a job and gives one of its modules; more, if given, changes its program before the image is made.
func compiled(text, module string, more func(*program.Program)) (*unit, error) {
	k, list := kit.Parse("measured.yaml", []byte(text), kit.NoFiles)
	if k == nil {
		return nil, fmt.Errorf("the job to be measured is faulty: %v", list)
	}
	r, list := compile.Compile(k, compile.Options{})
	if list.HasErrors() {
		return nil, fmt.Errorf("the job to be measured is refused: %v", list)
	}
	m, ok := k.Module(module)
	if !ok {
		return nil, fmt.Errorf("the job to be measured has no module %q", module)
	}
	return ship(r.Module(m), more)
}

func ship(m *compile.Module, more func(*program.Program)) (*unit, error) {
	u := &unit{program: m.Program, safe: m.Safe}
	if more != nil {
		more(m.Program)
		m.Program.Arrange()
	}
	image, err := program.Encode(m.Program)
	if err != nil {
		return nil, fmt.Errorf("module %s cannot be measured: %w", m.Of.Name, err)
	}
	hex, err := flash.Ship(m.Of.Board.Core, m.Safe, image)
	if err != nil {
		return nil, fmt.Errorf("module %s cannot be measured: %w", m.Of.Name, err)
	}
	u.Module = proof.Module{Name: m.Of.Name, HEX: hex, Kind: proof.Chain, Registers: m.Of.Board.Registers}
	if m.Of.Board.Core == board.CorePins {
		u.Kind = proof.Pins
	}
	return u, nil
}

// plain is a module with stop, tail and a signal at full light, all still: the shipped filters, and room for shows.
func plain(boardName string, more func(*program.Program)) (*unit, error) {
	b, err := board.Find(boardName)
	if err != nil {
		return nil, err
	}
	third := b.Outputs / 3
	zone := func(name string, n, from int) string {
		return fmt.Sprintf("{row: {name: %s, from: [0, %d], length: 400 mm, count: %d, group: 1, part: red-622}}", name, 10*from, n)
	}
	text := fmt.Sprintf(`lampwright: 1
job: {title: Measured, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds: [%s, %s, %s]
modules: {measured: {board: %s, lamp: lamp, wiring: {block: 1..%d, edge: %d..%d, rest: %d..%d}}}
inputs: {tail: {wire: measured.in%d}, stop: {wire: measured.in%d}, reverse: {wire: measured.in%d}}
routines:
  full: {strokes: [{hold: {on: block}}]}
  dim: {strokes: [{hold: {on: edge, light: 40 %%}}]}
  bright: {strokes: [{hold: {on: rest}}]}
signals:
  - stop: {input: stop, takes: block, stay: full}
  - reverse: {input: reverse, takes: rest, stay: bright}
  - tail: {input: tail, takes: edge, stay: dim}
`, zone("block", third, 0), zone("edge", third, 1), zone("rest", b.Outputs-2*third, 2), boardName,
		third, third+1, 2*third, 2*third+1, b.Outputs, tailWire, stopWire, fullWire)
	return compiled(text, "measured", more)
}

// Lengths of the fades of a loaded module, frames.
const (
	loadFade  = 8   // of each fade
	loadTicks = 256 // of a routine, until it begins again
)

// loaded is a module on which shows fade all outputs all the time, from one random level to the next in 8 frames. The fades
// are staggered, an eighth of the outputs in each frame; or they begin in a burst, all in the same frame, in all routines.
func loaded(boardName string, routines int, burst bool) (*unit, error) {
	random := dice(64)
	return plain(boardName, func(p *program.Program) {
		outputs := 0
		for _, l := range p.Layers {
			outputs += len(l.Slots)
		}
		at := make([]int, outputs)
		for s := range at {
			if !burst {
				at[s] = s % loadFade
			}
		}
		for n := range routines {
			p.Layers = append(p.Layers, program.Layer{
				Name: fmt.Sprintf("show-%d", n), Show: true, Pace: -1, InputMask: 1 << (showWire - 1),
				Slots: upTo(outputs), Stay: restless(random, at),
			})
		}
	})
}

// LoadedEngine is the reference engine with a module on which so many routines fade all 64 outputs, and the inputs that ask for them.
func LoadedEngine(routines int) (e *program.Engine, inputs uint8, err error) {
	u, err := loaded("chain-64", routines, false)
	if err != nil {
		return nil, 0, err
	}
	e, err = program.NewEngineFor(u.program, u.safe)
	return e, 1 << (showWire - 1), err
}

// fullest is a module with as many layers, moving layers and fades as there can be. All are live at once, on all outputs. So
// many fades begin in the same frame as are asked for, at most 192; the others begin staggered in the frames between.
func fullest(starts int) (*unit, error) {
	random := dice(12)
	const each = program.MaxFades / program.MaxMoving
	at := make([]int, program.MaxFades) // tick of eight in which each fade begins
	for i := starts; i < len(at); i++ {
		at[i] = 1 + i%(loadFade-1)
	}
	return plain("chain-64", func(p *program.Program) {
		stop := p.Layers[0]
		p.Layers = []program.Layer{stop}
		for i, wire := range pacedWires {
			p.PacerInput[i] = 1 << (wire - 1)
		}
		all := upTo(program.MaxOutputs)
		for n := range program.MaxMoving {
			first := n * each % (program.MaxOutputs - each)
			p.Layers = append(p.Layers, program.Layer{
				Name: fmt.Sprintf("moving-%d", n), Pace: -1, InputMask: 1 << (showWire - 1), Slots: all[first : first+each],
				Stay: restless(random, at[n*each:][:each]),
			})
		}
		for len(p.Layers) < program.MaxLayers {
			still := make([]uint8, len(all))
			for i := range still {
				still[i] = uint8(random.IntN(256))
			}
			p.Layers = append(p.Layers, program.Layer{
				Name: fmt.Sprintf("still-%d", len(p.Layers)), Pace: -1, InputMask: 1 << (showWire - 1), Slots: all, Still: still,
			})
		}
	})
}

func upTo(n int) []uint8 {
	all := make([]uint8, n)
	for i := range all {
		all[i] = uint8(i)
	}
	return all
}

// restless makes a routine whose slots are never at rest; each begins a fade in its tick of every eight.
func restless(random *rand.Rand, at []int) *program.Routine {
	var c program.Coder
	c.Over(loadFade)
	for tick := range loadTicks {
		for s := range at {
			if tick%loadFade == at[s] {
				c.Fade(s, uint8(random.IntN(256)))
			}
		}
		c.Wait(1)
	}
	r, err := c.Again()
	if err != nil {
		panic(err) // the numbers above are constants
	}
	return r
}
