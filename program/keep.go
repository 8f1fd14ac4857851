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
	keptSlack    = 16     // a pace that differs by less than a sixteenth is not worth a write
	writesMost   = 50_000 // a cell bears 100 000: ATmega328P data sheet
	writesErased = 0xFFFF
)

// write is a byte on its way into the memory.
type write struct{ at, value uint8 }

// keeper is the memory with what waits to be written.
type keeper struct {
	cells  [MemoryBytes]byte
	writes uint16          // how often, with those that wait
	stored [MaxPacers]bool // since power-up
	queue  [4 * MaxPacers]write
	next   uint8 // of the queue
	queued uint8
}

// keeperOf reads the memory at power-up, and what it holds of each pacer; nil is an erased one.
func keeperOf(cells *[MemoryBytes]byte) (k keeper, held [MaxPacers]uint8) {
	for i := range k.cells {
		k.cells[i] = 0xFF
	}
	if cells != nil {
		k.cells = *cells
	}
	if k.writes = binary.LittleEndian.Uint16(k.cells[keptWrites:]); k.writes == writesErased {
		k.writes = 0
	}
	for p := range held {
		if b := k.cells[keptPacer*p]; b >= keptShortest && b <= keptLongest && k.cells[keptPacer*p+1] == ^b {
			held[p] = b
		}
	}
	return k, held
}

// offer keeps what a pacer has just learnt, when that is worth a write: at most once a power-up.
func (k *keeper) offer(pacer int, m *memory, least uint8) {
	b := uint8(m.target() / keptUnit)
	if m.n < least || k.stored[pacer] || k.writes >= writesMost || m.held != 0 && apart(uint16(b), uint16(m.held)) <= uint16(m.held/keptSlack) {
		return
	}
	m.held = b
	k.writes++
	k.stored[pacer] = true
	at := uint8(keptPacer * pacer)
	copy(k.queue[k.queued:], []write{{at, b}, {at + 1, ^b}, {keptWrites, uint8(k.writes)}, {keptWrites + 1, uint8(k.writes >> 8)}})
	k.queued += 4
}

// waits tells whether something is to be written.
func (k *keeper) waits() bool { return k.next < k.queued }

// write writes one byte, when one waits.
func (k *keeper) write() {
	if k.waits() {
		w := k.queue[k.next]
		k.cells[w.at] = w.value
		k.next++
	}
}

// Memory gives what the EEPROM holds now.
func (e *Engine) Memory() [MemoryBytes]byte { return e.keeper.cells }

// Kept gives what the EEPROM holds once all that waits is written.
func (e *Engine) Kept() [MemoryBytes]byte {
	k := e.keeper
	for k.waits() {
		k.write()
	}
	return k.cells
}
