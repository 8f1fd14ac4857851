package proof

import (
	"time"

	"lampwright/program"
)

// CyclesARefresh is the nominal length of a refresh in cycles, 0.5 ms.
const CyclesARefresh = 8000

// Log is what the modules of one run did, in the order of Setup.Modules.
type Log struct{ Modules []ModuleLog }

// ModuleLog is what one module did. All cycles count from its power-on time; At turns them into time.
type ModuleLog struct {
	Module
	Refreshes []Refresh // empty after Watch, which hands them out instead
	Boots     []Boot    // the first is power-on
	Pulls     []Pull
	Sent      []Sent // bytes on the serial line
	Misdeeds  []Misdeed
	Done      []Occurrence // events of the setup, as they took effect on this module
	Load      Load
}

// Sample is what a core took in from one sample of its inputs until the next.
type Sample struct {
	Inputs uint8         // levels as sampled, bit 0 = in1
	Link   bool          // true = high
	Codes  program.Codes // the last of each that the converter sampled before the next sample of the inputs
	Heard  []Heard       // bytes taken from the serial line
}

// Heard is one byte from the serial line; Broken: without its stop bit.
type Heard struct {
	Byte   byte
	Broken bool
}

// Refresh is one sample of the inputs and what the outputs showed from then until the next sample.
type Refresh struct {
	Cycle uint64 // when port D was read
	Boot  int    // index into Boots
	Sample
	Pull   bool    // the module held the link wire low at the end of the refresh, when the next sample was taken
	Slots  []Slot  // words in the order in which they were latched
	Sleeps int     // times that the core put the controller into power-down
	Slept  uint64  // cycles for which it lay there
	Kept   []Keeps // EEPROM bytes whose writing ended
	Whole  bool    // false: cut short by a reset, loss of supply or the end of the run
}

// Keeps is one EEPROM byte that was written.
type Keeps struct {
	Address uint16
	Value   byte
}

// Sent is one byte that has gone out on the serial line.
type Sent struct {
	Cycle uint64
	Byte  byte
}

// Slot is one latched word and how long it was lit.
type Slot struct {
	Word      [8]byte // byte 0: register nearest the controller, bit 0: its first output
	LitCycles int     // cycles with /G low (Pins: all cycles) until the next word was latched, power-down left out
}

// Lit tells whether output, counted from 0, shines in this slot.
func (s Slot) Lit(output int) bool { return s.LitCycles > 0 && s.Word[output/8]>>(output%8)&1 == 1 }

// Cause is why a controller began anew.
type Cause uint8

const (
	CausePower Cause = iota
	CauseExternal
	CauseWatchdog
)

func (c Cause) String() string { return [...]string{"power-on", "external reset", "watchdog"}[c] }

// Boot is one start of the controller: when its reset ended, what it found, and what it did before its first sample.
type Boot struct {
	Cycle  uint64
	Cause  Cause
	Strap  program.Side              // Centre: missing
	Memory [program.MemoryBytes]byte // EEPROM
	Lived  bool                      // RAM was as the run before left it
	Left   program.Remnant           // in RAM
	Codes  program.Codes             // as Sample.Codes
	Slots  []Slot                    // words latched
}

// Pull is one change of a module's hold on the link wire.
type Pull struct {
	Cycle uint64
	Low   bool // the module pulls the wire low
}

// MisdeedKind is something a core did that its board or the simulator would not stand.
type MisdeedKind uint8

const (
	FaultSPICollision   MisdeedKind = iota + 1 // a byte was written while another was being shifted
	FaultLatchInShift                          // the register clock rose while a byte was being shifted
	FaultSPIOff                                // a byte was written while SPI was off, a slave, or its pins were inputs
	FaultLinkDrivenHigh                        // the open-drain link wire was driven high
	FaultLonePort                              // Pins: one output port was written in an interrupt without the other
	FaultStuck                                 // the controller ran wild or slept with interrupts off
	FaultLitAsleep                             // power-down with an output lit
	FaultAwakeAsleep                           // power-down with the watchdog or the converter on
	FaultConverter                             // the converter was started with a channel, reference or speed that the board does not stand
	FaultMemory                                // the EEPROM was touched while a byte was being written
)

func (k MisdeedKind) String() string {
	names := [...]string{"", "a byte was sent while another was being shifted", "the registers were clocked while a byte was being shifted",
		"a byte was sent while the serial port was off", "the link wire was driven high", "one output port was written without the other",
		"the controller ran wild or slept for ever", "the controller went to sleep with a lamp lit",
		"the controller went to sleep with its watchdog or its converter on", "the converter was started on another pin, reference or clock than the board has",
		"the EEPROM was touched while it was busy"}
	if int(k) < len(names) {
		return names[k]
	}
	return "unknown fault"
}

// Misdeed is one of these and when it happened.
type Misdeed struct {
	Cycle uint64
	Kind  MisdeedKind
}

// Occurrence is an event of the setup and the cycle at which it reached the module.
type Occurrence struct {
	Cycle uint64
	Event int // index into Setup.Events
}

// Load is how busy a controller was over the whole run.
type Load struct {
	Cycles, Asleep   uint64 // of the controller's clock: all, and those that it idled
	Down             uint64 // cycles in power-down besides, in which the clock stood still
	WorstFrameBusy   uint32 // busy cycles in the worst eight refreshes in a row, of 64 000
	Samples          uint64
	Resets, Misdeeds uint32
	LowestStack      uint16 // lowest stack pointer seen, a data address
	Interrupts       []Interrupt
}

// DownShare is the share of its powered time that a controller spent in power-down, 0..1.
func (l Load) DownShare() float64 {
	if l.Down == 0 {
		return 0
	}
	return float64(l.Down) / float64(l.Cycles+l.Down)
}

// Busy is the share of its clock's cycles that it did not idle, 0..1.
func (l Load) Busy() float64 {
	if l.Cycles == 0 {
		return 0
	}
	return 1 - float64(l.Asleep)/float64(l.Cycles)
}

// Interrupt is the account of one interrupt vector, cycles with entry and return.
type Interrupt struct {
	Vector      int // number as in the data sheet less one: 11 is timer 1 compare A
	Runs        uint64
	Least, Most uint32
	Total       uint64
}

// Mean is the mean length of one run, cycles.
func (i Interrupt) Mean() float64 { return float64(i.Total) / float64(max(i.Runs, 1)) }

// Since is the time from the start of the run at which the refresh's sample was taken.
func (m ModuleLog) Since(r Refresh) time.Duration { return m.At(r.Cycle) }
