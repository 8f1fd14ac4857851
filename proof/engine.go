package proof

import (
	"fmt"

	"lampwright/flash"
	"lampwright/program"
)

// Nominal widths of the slots S, P0 .. P7, cycles, and the order in which the core shows them: the timing contract of the
// firmware (firmware/avr/widths.h).
var (
	chainWidths = [program.Slots]int{30, 30, 60, 120, 239, 478, 956, 1912, 3825}
	chainOrder  = [program.Slots]int{4, 0, 1, 2, 3, 5, 6, 7, 8} // P3 S P0 P1 P2 P4 P5 P6 P7
	pinsWidths  = [program.Slots]int{31, 31, 63, 125, 250, 500, 1000, 2000, 4000}
	pinsOrder   = [program.Slots]int{2, 0, 1, 3, 4, 5, 6, 7, 8} // P1 S P0 P2 P3 P4 P5 P6 P7
)

// EngineModel is the reference engine as a Model of one module.
type EngineModel struct {
	start  func(Boot) *program.Engine
	engine *program.Engine
	module Module
	line   listener
}

// ModelOf starts the reference engine on the very bytes of a module's HEX file: both copies of the safe block and the flash
// from the image's start. It fails when the file cannot be read or is not for this controller.
func ModelOf(m Module) (*EngineModel, error) {
	memory, err := flash.ReadHEX(m.HEX)
	if err != nil {
		return nil, fmt.Errorf("the HEX file of module %s: %w", m.Name, err)
	}
	bytes, err := memory.Flat(flash.TotalBytes)
	if err != nil {
		return nil, fmt.Errorf("the HEX file of module %s: %w", m.Name, err)
	}
	for len(bytes) < flash.TotalBytes {
		bytes = append(bytes, flash.Blank)
	}
	return NewEngineModel(m, func(b Boot) *program.Engine {
		return program.NewEngine(program.Powering{SafeA: bytes[flash.SafeAStart:][:flash.SafeBytes], SafeB: bytes[flash.SafeBStart:][:flash.SafeBytes],
			Image: bytes[flash.ImageStart:][:flash.ImageBytes], Strap: b.Strap, Memory: &b.Memory, Remnant: b.Left})
	}), nil
}

// NewEngineModel makes a model that starts an engine anew after every reset of its module.
func NewEngineModel(m Module, start func(Boot) *program.Engine) *EngineModel {
	e := &EngineModel{start: start, module: m}
	e.Restart(Boot{Memory: erased, Codes: program.CodesAtStart})
	return e
}

// erased is an EEPROM that was never written.
var erased = [program.MemoryBytes]byte{0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF}

// Restart starts the engine anew, on what the module found.
func (e *EngineModel) Restart(b Boot) {
	e.engine = e.start(b)
	e.engine.Sense(b.Codes.Supply, b.Codes.Heat)
	e.line = listener{levels: 8 * e.module.wordBytes()}
}

// Step takes one sample and gives the words of the next refresh in the order in which the core shows them.
func (e *EngineModel) Step(s Sample) []Slot {
	e.engine.Sense(s.Codes.Supply, s.Codes.Heat)
	if levels := e.line.refresh(s.Heard, e.runs); levels != nil {
		e.engine.Stream(levels)
	}
	e.engine.Step(s.Inputs, s.Link)
	words := e.engine.Words()
	order, widths := &chainOrder, &chainWidths
	if e.module.Kind == Pins {
		order, widths = &pinsOrder, &pinsWidths
	}
	out := make([]Slot, program.Slots)
	for i, s := range order {
		copy(out[i].Word[:e.module.wordBytes()], words[s][:])
		out[i].LitCycles = widths[s]
	}
	return out
}

// runs tells whether the image has been accepted: the job under way shows it, and is shown itself a frame later.
func (e *EngineModel) runs() bool {
	ahead := e.engine.Clone()
	for range program.RefreshesPerFrame {
		ahead.Step(0, true)
	}
	return ahead.Shown().Live
}

// Pull tells whether the module must hold the link wire low in the refresh that Step gave.
func (e *EngineModel) Pull() bool { return e.engine.Shown().Pull }

// MaySleep tells whether the module may sleep before its next sample.
func (e *EngineModel) MaySleep() bool { return e.engine.MaySleep() }

// Woke tells that it did.
func (e *EngineModel) Woke() { e.engine.Woke() }

// Memory is what the EEPROM must hold.
func (e *EngineModel) Memory() [program.MemoryBytes]byte { return e.engine.Memory() }

// Remnant is what the RAM must hold on.
func (e *EngineModel) Remnant() program.Remnant { return e.engine.Remnant() }

// Doubt gives the outputs that show streamed levels while those change byte by byte: all that no layer paints.
func (e *EngineModel) Doubt() (outputs [program.MaxRegisters]byte) {
	if !e.line.mixes() {
		return outputs
	}
	force := e.engine.Shown().Force
	for o, owner := range e.engine.Owner() {
		if owner.Layer < 0 && force[o/8]>>(o%8)&1 == 0 {
			outputs[o/8] |= 1 << (o % 8)
		}
	}
	return outputs
}
