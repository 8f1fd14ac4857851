// Package board knows the kinds of hardware that a module can be: which core runs on it, what hangs on which pin of the
// controller, which side its outputs switch, and how much it bears.
//
// A board is described, not sold: any board that is wired as docs/boards says will do. Figures carry their source and their
// doubt; those of a part class come from memory where they say so, and the parts that are really fitted have the last word.
//
// Not promised: that a load fits. Rooms that compute with currents and temperatures compare them with these limits.
package board

import (
	"fmt"
	"strings"
	"time"

	"lampwright/report"
	"lampwright/units"
)

// Core is the prebuilt program that a board's controller runs.
type Core string

const (
	CoreChain Core = "chain" // shift registers behind SPI
	CorePins  Core = "pins"  // outputs straight on the controller's pins
)

// Words lists the cores.
func (Core) Words() []string { return []string{string(CoreChain), string(CorePins)} }

// Side is the side of the load that an output switches.
type Side string

const (
	LowSide  Side = "low"  // between load and ground: the lamp's common is the supply
	HighSide Side = "high" // between supply and load: the lamp's common is ground
)

// Words lists the sides.
func (Side) Words() []string { return []string{string(LowSide), string(HighSide)} }

// Level is a logic level.
type Level string

const (
	High Level = "high"
	Low  Level = "low"
)

// Words lists the levels.
func (Level) Words() []string { return []string{string(High), string(Low)} }

// Figure is a value with its doubt and its source. A part that the board's builder chooses has no source.
type Figure[T any] struct {
	Is T `yaml:"is"`
	// What is uncertain about it.
	Doubt string `yaml:"doubt,omitempty"`
	// Where it comes from: a published source, "calculated: ...", "from memory" or "common practice".
	Source string `yaml:"source,omitempty"`
}

// Pin is a pin of the controller with what hangs on it.
type Pin struct {
	Name string // in1, link, out12 ...
	Port string // PC0, ADC7 ...
}

// Limits is what a board bears.
type Limits struct {
	Output        Figure[units.Current] // one output alone, continuous
	Register      Figure[units.Current] // the eight outputs of one register together; no source when there is no register
	Board         Figure[units.Current] // all outputs together
	LowestSupply  Figure[units.Voltage] // from here on the controller works as it should
	HighestSupply Figure[units.Voltage] // up to here all limits hold for ever
	Survives      Figure[units.Voltage] // for a minute, without damage
}

// Memory is the room that a board's core has.
type Memory struct {
	ImageBytes int // longest image, bytes
	Layers     int // signals and shows together
	Moving     int // layers that move
	Fades      int // outputs under a moving layer, summed over those layers
}

// Board is one kind of hardware. It is data; the caller must not change its lists.
type Board struct {
	Name, Family        string // chain-32, chain
	About               string // one phrase
	Core                Core
	Registers           int // bytes of one latched word: eight-bit registers; the pins board has 2
	Outputs             int // out1 ... in the order of the registers, the one nearest the controller first
	Inputs              []Pin
	OutputPins          []Pin // pins board only
	Link                Pin
	Control             []Pin // blank, latch, data, shift, sense, heat, strap-lh, strap-rh, serial-rx, serial-tx: what else is used
	Side                Side
	On                  Level // level of the register bit or pin at which the load is lit
	Clock               Figure[units.Frequency]
	ShortestPulseCycles Figure[int]
	Limits              Limits
	Input               InputCircuit
	Supply              SupplySense
	Heat                HeatSense
	LinkCircuit         LinkCircuit
	Drain               []Draw // from the battery, lamps dark
	Memory              Memory
}

// ShortestPulse is the shortest time for which an output is ever lit or dark.
func (b Board) ShortestPulse() time.Duration {
	return time.Duration(float64(b.ShortestPulseCycles.Is) / float64(b.Clock.Is) * float64(time.Second))
}

// Strap tells whether the board reads the side strap of its plug.
func (b Board) Strap() bool { return b.port("strap-lh") != "" && b.port("strap-rh") != "" }

// port gives the controller's pin of a name, or "".
func (b Board) port(name string) string {
	for _, list := range [][]Pin{b.Inputs, b.OutputPins, b.Control, {b.Link}} {
		for _, p := range list {
			if p.Name == name {
				return p.Port
			}
		}
	}
	return ""
}

// Common names what all LEDs of a lamp on this board have in common.
func (b Board) Common() string {
	if b.Side == HighSide {
		return "ground"
	}
	return "the supply"
}

// All gives every board: families in the order of their names, sizes ascending.
func All() []Board { return all() }

// Names lists the names of all boards, in the order of All.
func Names() []string {
	var names []string
	for _, b := range all() {
		names = append(names, b.Name)
	}
	return names
}

// Find gives a board by name. The error is of type *Unknown.
func Find(name string) (Board, error) {
	for _, b := range all() {
		if b.Name == name {
			return b, nil
		}
	}
	return Board{}, &Unknown{name, report.Suggest(name, Names())}
}

// Unknown says that there is no board of a name.
type Unknown struct {
	Name       string
	Suggestion string // the nearest name, or ""
}

func (u *Unknown) Error() string {
	if u.Suggestion != "" {
		return fmt.Sprintf("there is no board %s; did you mean %s?", u.Name, u.Suggestion)
	}
	return fmt.Sprintf("there is no board %s; the boards are %s", u.Name, strings.Join(Names(), ", "))
}
