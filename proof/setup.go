package proof

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"lampwright/program"
)

// ClockHz is the nominal clock of every module, cycles a second.
const ClockHz = 16_000_000

// Limits of one run.
const (
	modulesMax = 8
	windowsMax = 16
	lengthMax  = 2 * time.Hour
)

// Kind is how a module drives its outputs.
type Kind int

const (
	Chain Kind = iota // shift registers behind SPI, gated by /G
	Pins              // twelve outputs straight on the controller
)

func (k Kind) String() string {
	if k == Pins {
		return "pins"
	}
	return "chain"
}

// Module is one controller of a run.
type Module struct {
	Name      string
	HEX       []byte // the Intel HEX file that ships
	Kind      Kind
	Registers int           // Chain: eight-bit registers, 1..8
	ClockPPM  float64       // clock error, parts per million
	PowerOn   time.Duration // when its supply comes, from the start of the run
	// Trail is the number of words that are latched after a sample and still belong to the refresh that the sample closes.
	Trail int
}

// Setup is one run: modules on one link wire, and what happens to them.
type Setup struct {
	Modules  []Module
	Events   []Event // in any order; equal times keep their order
	Length   time.Duration
	Cache    string                           // folder for the compiled bench
	Progress func(done, length time.Duration) // called now and then from Run's goroutine; may be nil
}

// Event is something that happens to a module, or to the link wire, at a time counted from the start of the run.
type Event struct {
	At     time.Duration
	Module int // index into Setup.Modules; -1: the link wire
	what   string
}

func (e Event) String() string {
	who := "wire"
	if e.Module >= 0 {
		who = strconv.Itoa(e.Module)
	}
	return microseconds(e.At) + " " + who + " " + e.what
}

// Input sets the level at input 1..8 of a module. Levels outlive a reset of the controller.
func Input(at time.Duration, module, input int, high bool) Event {
	return Event{at, module, fmt.Sprintf("in%d %d", input, bit(high))}
}

// FlashXor flips the bits of mask in one flash byte.
func FlashXor(at time.Duration, module int, address uint16, mask byte) Event {
	return Event{at, module, fmt.Sprintf("flash 0x%04X xor 0x%02X", address, mask)}
}

// FlashWord writes two flash bytes, low byte first.
func FlashWord(at time.Duration, module int, address, word uint16) Event {
	return Event{at, module, fmt.Sprintf("flash 0x%04X word 0x%04X", address, word)}
}

// Reset pulls the reset pin of a module for an instant.
func Reset(at time.Duration, module int) Event { return Event{at, module, "reset"} }

// Power takes the supply of the controller away, so that it is held in reset with its outputs dark, or brings it back: RAM then comes up
// with arbitrary content, the EEPROM with what it held.
func Power(at time.Duration, module int, on bool) Event {
	return Event{at, module, fmt.Sprintf("power %d", bit(on))}
}

// PowerSoon brings the supply back before the RAM has lost what it held.
func PowerSoon(at time.Duration, module int) Event { return Event{at, module, "power 2"} }

// Remnant says what the RAM holds when the supply comes next, instead of anything; where it lived, it is as it was.
func Remnant(at time.Duration, module int, holds program.Remnant) Event {
	return Event{at, module, fmt.Sprintf("remnant %x", holds[:])}
}

// Supply sets what the converter of a module gives at the sense pin; before the first such event 0x79, 13.5 V.
func Supply(at time.Duration, module int, code uint8) Event {
	return Event{at, module, fmt.Sprintf("supply %d", code)}
}

// Heat sets what the converter of a module gives at the heat pin; before the first such event 0xFF, a cold sensor or none.
func Heat(at time.Duration, module int, code uint8) Event {
	return Event{at, module, fmt.Sprintf("heat %d", code)}
}

// Strap puts a module into a plug with the side strap of LH or RH; Centre: into one without. It is read once after power-up.
func Strap(at time.Duration, module int, side program.Side) Event {
	name, ok := map[program.Side]string{program.LH: "lh", program.RH: "rh"}[side]
	if !ok {
		name = "missing"
	}
	return Event{at, module, "strap " + name}
}

// StrapBoth bridges both strap pins, as a short in the plug would.
func StrapBoth(at time.Duration, module int) Event { return Event{at, module, "strap both"} }

// Memory sets the EEPROM of a module from its first byte on; at first it is erased. A module that runs does not notice.
func Memory(at time.Duration, module int, content []byte) Event {
	return Event{at, module, fmt.Sprintf("memory %x", content)}
}

// SerialByte is the time that a byte takes on the serial line.
const SerialByte = 10 * time.Second / 19_200

// Serial sends bytes, at most 140, to a module, one after another from the given time on.
func Serial(at time.Duration, module int, bytes []byte) Event {
	return Event{at, module, fmt.Sprintf("serial %x", bytes)}
}

// LinkOpen opens or joins one module's end of the link wire.
func LinkOpen(at time.Duration, module int, open bool) Event {
	if open {
		return Event{at, module, "link open"}
	}
	return Event{at, module, "link joined"}
}

// Wire is the state of the link wire itself.
type Wire string

const (
	WireFree   Wire = "free"   // as it should be
	WireLow    Wire = "low"    // shorted to ground
	WireSupply Wire = "supply" // shorted to the supply: no module can pull it low
)

// LinkWire sets the state of the link wire.
func LinkWire(at time.Duration, state Wire) Event { return Event{at, -1, "link " + string(state)} }

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}

func microseconds(d time.Duration) string {
	return strconv.FormatFloat(float64(d.Nanoseconds())/1000, 'f', -1, 64)
}

// period is the length of one cycle of m's clock in nanoseconds.
func (m Module) period() float64 { return 1e9 / ClockHz / (1 + m.ClockPPM/1e6) }

// At is the time, from the start of the run, at which module m has counted the given cycles.
func (m Module) At(cycle uint64) time.Duration {
	return m.PowerOn + time.Duration(float64(cycle)*m.period())
}

// wordBytes is the length of one latched word in the stream.
func (m Module) wordBytes() int {
	if m.Kind == Pins {
		return 2
	}
	return m.Registers
}

// Outputs is the number of outputs of the module.
func (m Module) Outputs() int {
	if m.Kind == Pins {
		return 12
	}
	return 8 * m.Registers
}

func (s Setup) check() error {
	var bad []error
	if len(s.Modules) < 1 || len(s.Modules) > modulesMax {
		bad = append(bad, fmt.Errorf("a run has 1 to %d modules, this one has %d", modulesMax, len(s.Modules)))
	}
	if s.Length <= 0 || s.Length > lengthMax {
		bad = append(bad, fmt.Errorf("a run lasts up to %v, this one %v", lengthMax, s.Length))
	}
	if s.Cache == "" {
		bad = append(bad, errors.New("no folder is named for the compiled bench"))
	}
	for i, m := range s.Modules {
		if m.Kind == Chain && (m.Registers < 1 || m.Registers > 8) {
			bad = append(bad, fmt.Errorf("module %d (%s) has %d registers, a chain has 1 to 8", i, m.Name, m.Registers))
		}
		if len(m.HEX) == 0 {
			bad = append(bad, fmt.Errorf("module %d (%s) has no HEX file", i, m.Name))
		}
	}
	for _, e := range s.Events {
		if e.Module >= len(s.Modules) || e.Module < 0 && !strings.HasPrefix(e.what, "link ") {
			bad = append(bad, fmt.Errorf("event %q is for a module that is not in the run", e))
		}
	}
	return errors.Join(bad...)
}

// text is the setup in the bench's language; module i reads hexName(i). eventLines gives the line number of each event.
func (s Setup) text(windows []Window, variants [][]Event) (text string, eventLines map[int]int) {
	var b strings.Builder
	lines := 0
	put := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...); lines++ }
	put("length %s", microseconds(s.Length))
	for i, m := range s.Modules {
		put("module %s %d %s %s %s", m.Kind, max(m.Registers, 1), strconv.FormatFloat(m.ClockPPM, 'f', -1, 64), microseconds(m.PowerOn), hexName(i))
	}
	for _, w := range windows {
		put("window %s %s", microseconds(w.From), microseconds(w.To))
	}
	eventLines = make(map[int]int, len(s.Events))
	for i, e := range s.Events {
		put("%v", e)
		eventLines[lines] = i
	}
	for _, v := range variants {
		put("variant")
		for _, e := range v {
			put("%v", e)
		}
	}
	return b.String(), eventLines
}

func hexName(i int) string { return fmt.Sprintf("module-%d.hex", i) }
