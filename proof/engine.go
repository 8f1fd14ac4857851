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
	start  func() *program.Engine
	engine *program.Engine
	module Module
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
	return NewEngineModel(m, func() *program.Engine {
		return program.NewEngine(program.Powering{SafeA: bytes[flash.SafeAStart:][:flash.SafeBytes], SafeB: bytes[flash.SafeBStart:][:flash.SafeBytes],
			Image: bytes[flash.ImageStart:][:flash.ImageBytes]})
	}), nil
}

// NewEngineModel makes a model that starts an engine anew after every reset of its module.
func NewEngineModel(m Module, start func() *program.Engine) *EngineModel {
	return &EngineModel{start: start, engine: start(), module: m}
}

// Restart starts the engine anew.
func (e *EngineModel) Restart() { e.engine = e.start() }

// Step takes one sample and gives the words of the next refresh in the order in which the core shows them.
func (e *EngineModel) Step(inputs uint8, link bool) []Slot {
	e.engine.Step(inputs, link)
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

// Pull tells whether the module must hold the link wire low in the refresh that Step gave.
func (e *EngineModel) Pull() bool { return e.engine.Shown().Pull }
