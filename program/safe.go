package program

import (
	"encoding/binary"
	"fmt"
	"slices"
)

// SafeBytes is the size of the safe block.
const SafeBytes = 72

// Offsets in the safe block, bytes; docs/image-format.md, section 2.
const (
	safeMark     = 0x53
	safeVersion  = 2
	safeShared   = 9
	safeCounts   = 10
	safeMasks    = 26
	safeGaps     = 58
	safeStopTurn = 62
	safeOver     = 66
	safeWaits    = 67
	safeUnused   = 68
	safeCRC      = SafeBytes - 2

	turnWaits = 1

	gapUnit  = 4  // refreshes of one step of a gap
	gapSteps = 15 // the longest gap: four bits
)

// LastResort is what a module does when both copies of its safe block are damaged: all outputs are stop, with in2.
func LastResort() Safe {
	s := Safe{Registers: MaxRegisters, Stop: 1 << 1}
	for i := range s.On {
		s.On[i], s.Off[i] = 7, 16
	}
	for i := range s.StopOut {
		s.StopOut[i] = 0xFF
	}
	return s
}

// masks lists the four output masks in the order of the block.
func (s *Safe) masks() [4]*[MaxRegisters]uint8 {
	return [4]*[MaxRegisters]uint8{&s.StopOut, &s.TailOut, &s.TurnAOut, &s.TurnBOut}
}

// EncodeSafe gives the SafeBytes bytes of the safe block. It fails with Faults.
func EncodeSafe(s *Safe) (block [SafeBytes]byte, err error) {
	if err := s.check(); err != nil {
		return block, err
	}
	b := []byte{safeMark, safeVersion, byte(s.Registers), s.TailLevel, s.Stop, s.Tail, s.TurnA, s.TurnB, s.Invert, s.Shared.byte()}
	b = append(b, s.On[:]...)
	b = append(b, s.Off[:]...)
	for _, m := range s.masks() {
		b = append(b, m[:]...)
	}
	for i := 0; i < MaxInputs; i += 2 {
		b = append(b, s.Gap[i]/gapUnit|s.Gap[i+1]/gapUnit<<4)
	}
	for _, w := range s.StopTurn {
		pair := w.bytes()
		b = append(b, pair[:]...)
	}
	b = append(b, s.Over, when(s.TurnWaits, turnWaits), 0, 0)
	return [SafeBytes]byte(appendCRC(b)), nil
}

// DecodeSafe reads a safe block strictly. It fails with Faults.
func DecodeSafe(b []byte) (*Safe, error) {
	var fs Faults
	if len(b) != SafeBytes {
		fs.add(0, "safe block", nextReread, fmt.Sprint(SafeBytes), "%d bytes", len(b))
		return nil, fs
	}
	if CRC(b) != 0 {
		fs.add(safeCRC, "safe block", nextReread, "the CRC-16 of bytes 0..69", "wrong check %04x", binary.BigEndian.Uint16(b[safeCRC:]))
		return nil, fs
	}
	if b[0] != safeMark {
		fs.add(0, "safe block", nextReread, "0x53", "mark 0x%02x", b[0])
	}
	if b[1] != safeVersion {
		fs.add(1, "safe block", nextCompile, fmt.Sprint(safeVersion), "version %d", b[1])
	}
	if b[safeShared] != readSafe(b).Shared.byte() {
		fs.add(safeShared, "safe block", nextCompile, "0, or bit 7 with two input numbers", "shared wire 0x%02x", b[safeShared])
	}
	s := readSafe(b)
	for i, w := range s.StopTurn {
		if at := safeStopTurn + 2*i; [2]byte(b[at:]) != w.bytes() {
			fs.add(at, "safe block", nextCompile, "0, 0, or bit 7 with two input numbers, and a third", "stop-and-turn wire 0x%02x 0x%02x", b[at], b[at+1])
		}
	}
	if b[safeWaits]&^turnWaits != 0 {
		fs.add(safeWaits, "safe block", nextCompile, "bit 0", "flags 0x%02x", b[safeWaits])
	}
	for at := safeUnused; at < safeCRC; at++ {
		if b[at] != 0 {
			fs.add(at, "safe block", nextCompile, "0", "unused byte 0x%02x", b[at])
		}
	}
	if err := s.check(); err != nil {
		fs = append(fs, err.(Faults)...)
	}
	if err := fs.result(); err != nil {
		return nil, err
	}
	return &s, nil
}

// check gives Faults when a module could not serve with the block.
func (s *Safe) check() error {
	var fs Faults
	if s.Registers < 1 || s.Registers > MaxRegisters {
		fs.add(2, "safe block", nextLayout, "1..8", "%d registers", s.Registers)
	}
	for i := range MaxInputs {
		if s.On[i] == 0 {
			fs.add(safeCounts+i, "safe block", nextLayout, "1..255 refreshes", "on count of in%d is 0", i+1)
		}
		if s.Off[i] == 0 {
			fs.add(safeCounts+MaxInputs+i, "safe block", nextLayout, "1..255 refreshes", "off count of in%d is 0", i+1)
		}
		if s.Gap[i]%gapUnit != 0 || s.Gap[i] > gapSteps*gapUnit {
			fs.add(safeGaps+i/2, "safe block", nextLayout, "0, 4, 8 ... 60 refreshes", "gap of in%d is %d", i+1, s.Gap[i])
		}
	}
	if sh := s.Shared; sh.Used && (sh.From >= MaxInputs || sh.As >= MaxInputs || sh.From == sh.As) {
		fs.add(safeShared, "safe block", nextLayout, "two different inputs of 0..7", "shared wire from input %d as input %d", sh.From, sh.As)
	}
	fs = append(fs, s.checkStopTurn()...)
	for k, m := range s.masks() {
		for r := max(s.Registers, 0); r < MaxRegisters; r++ {
			if m[r] != 0 {
				fs.add(safeMasks+MaxRegisters*k+r, "safe block", nextLayout, "0", "mask 0x%02x for register %d, which the module does not have", m[r], r+1)
			}
		}
	}
	return fs.result()
}

// readSafe reads a block of SafeBytes bytes without judging it.
func readSafe(b []byte) Safe {
	s := Safe{
		Registers: int(b[2]), TailLevel: b[3],
		Stop: b[4], Tail: b[5], TurnA: b[6], TurnB: b[7], Invert: b[8], Shared: sharedOf(b[safeShared]),
		StopTurn: [2]StopTurn{stopTurnOf(b[safeStopTurn:]), stopTurnOf(b[safeStopTurn+2:])}, Over: b[safeOver], TurnWaits: b[safeWaits]&turnWaits != 0,
		On: [8]uint8(b[safeCounts:]), Off: [8]uint8(b[safeCounts+MaxInputs:]),
	}
	for i := range s.Gap {
		s.Gap[i] = b[safeGaps+i/2] >> (i % 2 * 4) & gapSteps * gapUnit
	}
	for k, m := range s.masks() {
		*m = [8]uint8(b[safeMasks+MaxRegisters*k:])
	}
	return s
}

// chooseSafe does what a core does at reset: copy A when it is right, else copy B, else the last resort.
func chooseSafe(a, b []byte) Safe {
	for _, c := range [][]byte{a, b} {
		if len(c) == SafeBytes && CRC(c) == 0 && c[0] == safeMark && c[1] == safeVersion && c[2] >= 1 && c[2] <= MaxRegisters {
			return readSafe(slices.Clone(c))
		}
	}
	return LastResort()
}

// byte gives a shared wire as it stands in the block.
func (s Shared) byte() byte {
	if !s.Used {
		return 0
	}
	return 0x80 | s.As<<3 | s.From
}

// sharedOf reads it, whatever it holds: for the core, any byte but 0 names one.
func sharedOf(b byte) Shared {
	if b == 0 {
		return Shared{}
	}
	return Shared{Used: true, From: b & 7, As: b >> 3 & 7}
}
