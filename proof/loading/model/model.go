// Package model is a module as the serial line sees it: flash, the core's receiver, the loader. It was written from
// docs/loading.md alone, a second time beside the firmware and without the tool's own code, so that it can judge both: the tool
// is tried against it in every way that a line and a supply can fail, and the firmware must answer as it does.
//
// Not promised: time. Bytes come one after the other; Gap and Silence say that none came for a while.
package model

import (
	"encoding/binary"
	"math/rand/v2"
)

// The flash map and the packets; docs/image-format.md, section 1, docs/loading.md.
const (
	FlashBytes = 0x8000
	PageBytes  = 128
	SafeA      = 0x1F80
	Image      = 0x2000
	SafeB      = 0x7780
	Mark       = 0x7FF0

	imageMost = SafeB - Image
	mark      = 0xA5
	most      = 134
	readMost  = 64
)

// Module is one module. The zero value has no flash content: use New.
type Module struct {
	Flash  [FlashBytes]byte
	Strap  byte   // what the side strap says: 1 LH, 2 RH, 0 missing
	Levels []byte // the last live frame that came whole and right

	// CutAt, when above 0, takes the supply away in the middle of the so-manieth erasing or writing from now on.
	CutAt int
	// Worn is a page that cannot be written any more; 0: none.
	Worn uint16

	Writes, Restarts int // since New: erasings and writings, restarts by the watchdog
	Off              bool

	loads    bool // the loader runs
	accepted int  // address of the header that rules; 0: none
	received []byte
	random   *rand.Rand
}

// New gives a module with a core for a kind of board (1 chain, 2 pins), two copies of a safe block and an image, switched on.
func New(board byte, safe, image []byte) *Module {
	m := &Module{random: rand.New(rand.NewPCG(1, 2))}
	for i := range m.Flash {
		m.Flash[i] = 0xFF
	}
	copy(m.Flash[Mark:], []byte{'L', 'W', 'c', 'o', 'r', 'e', 2, 0, board, 0, 0, 0, 0, 0, 0, 0})
	copy(m.Flash[SafeA:], safe)
	copy(m.Flash[SafeB:], safe)
	copy(m.Flash[Image:], image)
	m.PowerOn()
	return m
}

// PowerOn starts the module anew, as after its supply was away or the watchdog bit.
func (m *Module) PowerOn() {
	m.Off, m.loads, m.received, m.Levels = false, false, nil, nil
	m.accepted = m.ruling()
}

// check is CRC-16, polynomial 1021, initial FFFF, bit by bit.
func check(data []byte) uint16 {
	c := uint16(0xFFFF)
	for _, b := range data {
		c ^= uint16(b) << 8
		for range 8 {
			carry := c&0x8000 != 0
			c <<= 1
			if carry {
				c ^= 0x1021
			}
		}
	}
	return c
}

// SafeRight tells whether a copy of the safe block (at SafeA or SafeB) is right.
func (m *Module) SafeRight(at int) bool {
	block := m.Flash[at : at+72]
	return check(block) == 0 && block[0] == 0x53 && block[1] == 2 && block[2] >= 1 && block[2] <= 8
}

// registers is what the safe block in force says.
func (m *Module) registers() int {
	for _, at := range []int{SafeA, SafeB} {
		if m.SafeRight(at) {
			return int(m.Flash[at+2])
		}
	}
	return 8
}

// Accepted tells whether an image runs.
func (m *Module) Accepted() bool { return m.accepted != 0 }

// ruling finds the header that rules, as far as the line can tell: check, version, registers and strap.
func (m *Module) ruling() int {
	head := m.Flash[Image:]
	length := int(binary.LittleEndian.Uint16(head[4:]))
	if head[0] != 'L' || head[1] != 'W' || head[2] != 2 || length < 34 || length > imageMost || int(head[6]) != m.registers() || check(head[:length]) != 0 {
		return 0
	}
	if head[3]&8 == 0 || head[14] == m.Strap {
		return Image
	}
	if other := int(binary.LittleEndian.Uint16(head[18:])); m.Strap != 0 && other != 0 && other+34 <= length && head[other+14] == m.Strap {
		return Image + other
	}
	return 0
}

// Gap is a pause of more than 4 ms, or a byte without its stop bit: a packet that was begun is dropped.
func (m *Module) Gap() { m.received = nil }

// Silence is a pause of more than three seconds: the loader gives up.
func (m *Module) Silence() {
	m.Gap()
	if m.loads && !m.Off {
		m.Restarts++
		m.PowerOn()
	}
}

// Take gives the module one byte and returns what it answers.
func (m *Module) Take(b byte) []byte {
	if m.Off {
		return nil
	}
	r := append(m.received, b)
	m.received = r
	switch {
	case r[0] != mark, len(r) == 3 && r[2] > most:
		m.received = nil
	case len(r) >= 3 && len(r) == 5+int(r[2]):
		m.received = nil
		if check(r[1:]) == 0 {
			return m.obey(r[1], r[3:len(r)-2])
		}
	}
	return nil
}

func answer(command byte, payload ...byte) []byte {
	p := append([]byte{mark, command | 0x80, byte(len(payload))}, payload...)
	return binary.BigEndian.AppendUint16(p, check(p[1:]))
}

func (m *Module) obey(command byte, payload []byte) []byte {
	n := len(payload)
	switch {
	case command == 1 && n == 3 && payload[2] >= 1 && payload[2] <= readMost:
		at, end := int(binary.LittleEndian.Uint16(payload)), int(binary.LittleEndian.Uint16(payload))+int(payload[2])
		if end <= FlashBytes {
			return answer(1, m.Flash[at:end]...)
		}
	case command == 2 && n == 6 && m.loads:
		return answer(2)
	case command == 2 && n == 6:
		key := []byte{0xFF, 0xFF, 0xFF, 0xFF, 0xFF, 0xFF}
		if m.accepted != 0 {
			key = m.Flash[m.accepted+8 : m.accepted+14]
		}
		if string(key) == string(payload) {
			m.loads = true
			return answer(2)
		}
	case command == 3 && !m.loads && m.accepted != 0 && m.Flash[m.accepted+24]&1 != 0 && m.Flash[m.accepted+3]&1 == 0 && n == 8*m.registers():
		m.Levels = append([]byte(nil), payload...)
	case command == 4 && n == 2+PageBytes && m.loads:
		status := m.page(binary.LittleEndian.Uint16(payload), payload[2:])
		if m.Off {
			return nil
		}
		return answer(4, status)
	case command == 5 && n == 0 && m.loads:
		m.Restarts++
		m.PowerOn()
		return answer(5)
	}
	return nil
}

// page erases and writes, and reads back.
func (m *Module) page(at uint16, data []byte) byte {
	if at%PageBytes != 0 || at < SafeA || at > SafeB {
		return 1
	}
	cells := m.Flash[at : int(at)+PageBytes]
	if at == m.Worn {
		m.Writes += 2
		return 2
	}
	if m.cut() {
		for i := range cells { // some bits are erased, some are not yet
			cells[i] |= byte(m.random.Uint32())
		}
		return 0
	}
	for i := range cells {
		cells[i] = 0xFF
	}
	if m.cut() {
		for i := range cells { // some zeros are written, some are not yet
			cells[i] = data[i] | byte(m.random.Uint32())
		}
		return 0
	}
	copy(cells, data)
	return 0
}

// cut counts an erasing or writing and tells whether the supply goes away in its middle.
func (m *Module) cut() bool {
	m.Writes++
	if m.CutAt > 0 {
		m.CutAt--
		if m.CutAt == 0 {
			m.Off = true
			return true
		}
	}
	return false
}
