package loader

import (
	"bytes"
	"encoding/binary"

	"lampwright/board"
	"lampwright/flash"
	"lampwright/program"
)

// Where a module says what it is; docs/image-format.md, section 1, and docs/loading.md, section 2.
const (
	markAt    = 0x7FF0
	markBytes = 16
	headBytes = 32
)

// coreVersion is the version of core, images and safe blocks that this tool makes.
const coreVersion = 2

var (
	markWord  = []byte("LWcore")
	imageWord = []byte("LW")
)

// Identity is what a module says of itself.
type Identity struct {
	Core  *Mark // nil: it has no core of ours with a serial line
	Hands []Hand
	// Hands are those that its image serves: none when there is no image, two when one image serves both sides.

	SafeA, SafeB bool // the copies of the safe block that are right
}

// Mark tells which core a module runs.
type Mark struct {
	Version int
	Board   board.Core // "": a kind that this tool does not know
}

// Hand is one lamp that an image is for.
type Hand struct {
	Kit       uint32
	Lamp      uint16
	Side      program.Side
	Registers int
	Walk      bool // it is a wiring walk: it belongs to no lamp
	Live      bool // streamed light is allowed
}

// memory gives n bytes of a module's flash.
type memory func(at, n int) ([]byte, error)

// identify reads an identity.
func identify(read memory) (Identity, error) {
	var id Identity
	mark, err := read(markAt, markBytes)
	if err != nil {
		return id, err
	}
	if bytes.HasPrefix(mark, markWord) {
		id.Core = &Mark{int(binary.LittleEndian.Uint16(mark[6:])), map[byte]board.Core{1: board.CoreChain, 2: board.CorePins}[mark[8]]}
	}
	if id.Hands, err = hands(func(at, n int) ([]byte, error) { return read(flash.ImageStart+at, n) }); err != nil {
		return id, err
	}
	for at, right := range map[int]*bool{flash.SafeAStart: &id.SafeA, flash.SafeBStart: &id.SafeB} {
		block, err := read(at, program.SafeBytes)
		if err != nil {
			return id, err
		}
		*right = rightSafe(block)
	}
	return id, nil
}

// hands reads whom an image serves.
func hands(image memory) ([]Hand, error) {
	head, err := image(0, headBytes)
	if err != nil {
		return nil, err
	}
	first, ok := handOf(head)
	other := int(binary.LittleEndian.Uint16(head[18:]))
	if !ok {
		return nil, nil
	} else if other == 0 || other+headBytes > program.MaxImageBytes {
		return []Hand{first}, nil
	}
	if head, err = image(other, headBytes); err != nil {
		return nil, err
	}
	second, ok := handOf(head)
	if !ok {
		return []Hand{first}, nil
	}
	return []Hand{first, second}, nil
}

// handsOf does the same with an image at hand.
func handsOf(image []byte) []Hand {
	of, _ := hands(from(image)) // bytes at hand are always there
	return of
}

// handOf reads the header of an image.
func handOf(head []byte) (Hand, bool) {
	if !bytes.HasPrefix(head, imageWord) {
		return Hand{}, false
	}
	return Hand{
		Kit: binary.LittleEndian.Uint32(head[8:]), Lamp: binary.LittleEndian.Uint16(head[12:]), Side: program.Side(head[14]),
		Registers: int(head[6]), Walk: head[3]&1 != 0, Live: head[24]&1 != 0,
	}, true
}

// rightSafe judges a copy of the safe block as a core does.
func rightSafe(block []byte) bool {
	return program.CRC(block) == 0 && block[0] == 0x53 && int(block[1]) == coreVersion && block[2] >= 1 && block[2] <= program.MaxRegisters
}

// String tells a hand in words.
func (h Hand) String() string { return h.served().String() }

// sideWord names a side as the trade does.
func sideWord(s program.Side) string {
	switch s {
	case program.Centre:
		return "centre"
	case program.LH:
		return "LH"
	case program.RH:
		return "RH"
	}
	return "no known side"
}

// from makes a memory of bytes that stand at address 0, blank behind their end.
func from(flashed []byte) memory {
	return func(at, n int) ([]byte, error) {
		out := bytes.Repeat([]byte{flash.Blank}, n)
		if at < len(flashed) {
			copy(out, flashed[at:])
		}
		return out, nil
	}
}
