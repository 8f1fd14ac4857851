package program

import "encoding/binary"

// MemoryBytes is what a module keeps without power: its EEPROM as far as it is used.
const MemoryBytes = 10

// Places in the memory, and what is plausible there; docs/engine.md, section 5.
const (
	keptPacer  = 4 // bytes from one pacer's to the next: the pace, and its complement behind it
	keptWrites = 8 // how often a pace was written

	keptUnit     = 8 // refreshes
	keptShortest = paceShortest / keptUnit
	keptLongest  = paceLongest / keptUnit
	writesMost   = 50_000 // a cell bears 100 000: ATmega328P data sheet; more is an erased count, or one torn while it was written
)

// Remnant is what RAM that lives on may hold when the power comes again: the last flash of a module that powers up with each one, units
// of 8 refreshes, and that same byte changed by a word. RAM that did not live holds anything.
type Remnant [2]byte

// The words of a remnant.
const (
	flashSeen   = 0xFF // the last flash
	flashStored = 0x5A // and a pace was stored since the RAM lives
)

// keeper is the memory with what waits to be written.
type keeper struct {
	cells  [MemoryBytes]byte
	writes uint16           // how often, with those that wait
	stored [MaxPacers]bool  // since power-up
	queue  [MaxPacers]write // stores in the order in which they were decided
	queued uint8
	note   Remnant
	next   uint8 // byte of the queue that is written next, four a store
}

// write is a store on its way into the memory.
type write struct{ pacer, pace uint8 }

// writeBytes is how many bytes one store writes.
const writeBytes = 4

// keeperOf reads the memory at power-up, and what it holds of each pacer; nil is an erased one.
func keeperOf(cells *[MemoryBytes]byte) (k keeper, held [MaxPacers]uint8) {
	for i := range k.cells {
		k.cells[i] = 0xFF
	}
	if cells != nil {
		k.cells = *cells
	}
	if k.writes = binary.LittleEndian.Uint16(k.cells[keptWrites:]); k.writes > writesMost {
		k.writes = 0
	}
	for p := range held {
		if b := k.cells[keptPacer*p]; b >= keptShortest && b <= keptLongest && k.cells[keptPacer*p+1] == ^b {
			held[p] = b
		}
	}
	return k, held
}

// serves tells whether a pace that is held will do for another: one up to a 32nd shorter, or an eighth longer. None, 0, will not.
func serves(held, pace uint8) bool { return pace >= held-held/32 && pace <= held+held/8 }

// confirmed notes the flash of a module that powers up with each one, and tells whether its pace may be stored: when the flash before
// agrees, or nothing is held; and once only while the RAM lives.
func (k *keeper) confirmed(held, pace uint8) bool {
	before, word := k.note[0], k.note[0]^k.note[1]
	if word == flashStored {
		return false
	}
	k.note = Remnant{pace, pace ^ flashSeen}
	return held == 0 || word == flashSeen && serves(before, pace)
}

// offer keeps what a pacer has just learnt, when that is worth a write: at most once a power-up.
func (k *keeper) offer(pacer int, m *memory, turnFed bool) {
	b := uint8(m.target() / keptUnit)
	switch {
	case !turnFed && m.n < paceTrendMin, turnFed && !k.confirmed(m.held, b):
		return
	case k.stored[pacer] || k.writes >= writesMost || serves(m.held, b):
		return
	}
	k.note[1] = b ^ flashStored
	m.held = b
	k.writes++
	k.stored[pacer] = true
	k.queue[k.queued] = write{uint8(pacer), b}
	k.queued++
}

// waits tells whether something is to be written.
func (k *keeper) waits() bool { return k.next < writeBytes*k.queued }

// write writes one byte, when one waits.
func (k *keeper) write() {
	if !k.waits() {
		return
	}
	w := k.queue[k.next/writeBytes]
	switch k.next % writeBytes {
	case 0:
		k.cells[keptPacer*w.pacer] = w.pace
	case 1:
		k.cells[keptPacer*w.pacer+1] = ^w.pace
	case 2:
		k.cells[keptWrites] = uint8(k.writes)
	default:
		k.cells[keptWrites+1] = uint8(k.writes >> 8)
	}
	k.next++
}

// Memory gives what the EEPROM holds now.
func (e *Engine) Memory() [MemoryBytes]byte { return e.keeper.cells }

// Remnant gives what the RAM holds on when the supply goes.
func (e *Engine) Remnant() Remnant { return e.keeper.note }

// Kept gives what the EEPROM holds once all that waits is written.
func (e *Engine) Kept() [MemoryBytes]byte {
	k := e.keeper
	for k.waits() {
		k.write()
	}
	return k.cells
}
