package board

import (
	"cmp"
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

//go:embed data/*.yaml
var data embed.FS

// family is a board file as written: boards that differ only in their size.
type family struct {
	source.At
	// Its name; the boards are called after it.
	Family source.Name `yaml:"family"`
	// One phrase.
	About string `yaml:"about"`
	// The core that it runs.
	Core Core `yaml:"core"`
	// Sizes, as numbers of eight-bit registers.
	Registers []int `yaml:"registers,omitempty" least:"1" min:"1" max:"8"`
	// How its outputs switch.
	Switch struct {
		Side Side  `yaml:"side"`
		On   Level `yaml:"on"`
	} `yaml:"switch"`
	// Clock of the controller.
	Clock Figure[units.Frequency] `yaml:"clock"`
	// Shortest time for which an output is lit, cycles.
	Shortest Figure[int] `yaml:"shortest-pulse"`
	// What hangs on which pin of the controller.
	Pins source.Map[string] `yaml:"pins" least:"1"`
	// What it bears.
	Limits struct {
		Output        Figure[units.Current]            `yaml:"output"`
		Register      source.Of[Figure[units.Current]] `yaml:"register,omitempty"`
		Board         Figure[units.Current]            `yaml:"board"`
		LowestSupply  Figure[units.Voltage]            `yaml:"lowest-supply"`
		HighestSupply Figure[units.Voltage]            `yaml:"highest-supply"`
		Survives      Figure[units.Voltage]            `yaml:"survives"`
	} `yaml:"limits"`
	// The circuit in front of every input.
	Input InputCircuit `yaml:"input"`
	// The divider that tells the supply.
	Supply SupplySense `yaml:"supply-sense"`
	// The sensor that tells the heat.
	Heat source.Of[HeatSense] `yaml:"heat-sense,omitempty"`
	// The circuit between link pin and link wire.
	Link LinkCircuit `yaml:"link"`
	// What its parts take from the battery.
	Drain []Draw `yaml:"drain" least:"1"`
	// Room of the core.
	Memory struct {
		Image  int `yaml:"image" min:"1"`
		Layers int `yaml:"layers" min:"1"`
		Moving int `yaml:"moving" min:"1"`
		Fades  int `yaml:"fades" min:"1"`
	} `yaml:"memory"`
}

// all reads the embedded files once. It panics if one is broken, which a test rules out.
var all = sync.OnceValue(func() []Board {
	names, err := fs.Glob(data, "data/*.yaml")
	if err != nil || len(names) == 0 {
		panic("board: no board files are built in")
	}
	var boards []Board
	for _, name := range names { // sorted by name
		text, err := data.ReadFile(name)
		if err != nil {
			panic(err)
		}
		some, faults := read(path.Base(name), text)
		if faults.HasErrors() {
			panic("board: " + faults.Error())
		}
		boards = append(boards, some...)
	}
	slices.SortStableFunc(boards, func(a, b Board) int {
		return cmp.Or(cmp.Compare(a.Family, b.Family), cmp.Compare(a.Outputs, b.Outputs))
	})
	return boards
})

// pinsRegisters is the length of a latched word of the pins board, bytes.
const pinsRegisters = 2

// read makes the boards of one file.
func read(name string, text []byte) ([]Board, report.List) {
	file, faults := source.Parse(name, text)
	if file == nil {
		return nil, faults
	}
	var f family
	faults = append(faults, file.Decode(&f)...)
	if faults.HasErrors() {
		return nil, faults
	}
	base := Board{
		Family: f.Family.Text, About: f.About, Core: f.Core, Side: f.Switch.Side, On: f.Switch.On, Clock: f.Clock, ShortestPulseCycles: f.Shortest,
		Limits: Limits{f.Limits.Output, f.Limits.Register.Or(Figure[units.Current]{}), f.Limits.Board, f.Limits.LowestSupply, f.Limits.HighestSupply, f.Limits.Survives},
		Input:  f.Input, Supply: f.Supply, Heat: f.Heat.Or(HeatSense{}), LinkCircuit: f.Link, Drain: f.Drain, Memory: Memory{f.Memory.Image, f.Memory.Layers, f.Memory.Moving, f.Memory.Fades},
	}
	base.Supply.logic, base.Supply.logicTolerance = base.Input.Logic.Is, base.Input.LogicTolerance.Is
	faults = append(faults, file.Finish(base.placePins(f))...)
	if f.Core == CorePins {
		base.Name, base.Registers, base.Outputs = base.Family, pinsRegisters, len(base.OutputPins)
		return []Board{base}, faults
	}
	var boards []Board
	for _, n := range f.Registers {
		b := base
		b.Name, b.Registers, b.Outputs = fmt.Sprintf("%s-%d", base.Family, 8*n), n, 8*n
		boards = append(boards, b)
	}
	return boards, faults
}

// placePins sorts the pins by what they do, and reports a pin used twice or a row that a core needs and misses.
func (b *Board) placePins(f family) (faults report.List) {
	used := map[string]source.Entry[string]{}
	for _, e := range f.Pins.Entries() {
		if first, twice := used[e.Value]; twice {
			faults.Add(report.Errorf("pin-twice", e.Place, "%s is already used for %s", e.Value, first.Name.Text).Do("choose another pin"))
		}
		used[e.Value] = e
		pin := Pin{e.Name.Text, e.Value}
		switch {
		case strings.HasPrefix(pin.Name, "in"):
			b.Inputs = append(b.Inputs, pin)
		case strings.HasPrefix(pin.Name, "out"):
			b.OutputPins = append(b.OutputPins, pin)
		case pin.Name == "link":
			b.Link = pin
		default:
			b.Control = append(b.Control, pin)
		}
	}
	need := []string{"in1", "link", "sense"}
	if f.Heat.Given() {
		need = append(need, "heat")
	}
	if f.Core == CoreChain {
		need = append(need, "blank", "latch", "data", "shift")
		if len(f.Registers) == 0 {
			faults.Add(report.Errorf("no-size", f.Where, "a board with the chain core needs its sizes").Do("write registers: [1] or more sizes"))
		}
	} else {
		need = append(need, "out1")
	}
	for _, name := range need {
		if _, ok := f.Pins.Get(name); !ok {
			faults.Add(report.Errorf("no-pin", f.Pins.Where, "the core %s needs a pin for %s", f.Core, name).Do("add the pin"))
		}
	}
	return faults
}
