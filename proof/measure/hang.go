package measure

import (
	"encoding/binary"
	"errors"
	"fmt"

	"lampwright/flash"
)

// Instructions of the AVR, as words (AVR instruction set manual).
const (
	opCLI   = 0x94F8
	opSEI   = 0x9478
	opSLEEP = 0x9588
	opWDR   = 0x95A8
	opRJMP  = 0xC000 // and a signed distance in the low twelve bits, words
	opHang  = 0xCFFF // rjmp to itself
)

// jumpReach is how far behind the watchdog reset the jump back may stand, bytes.
const jumpReach = 18

// patch is a place in the flash where the main loop can be made to hang, and what stands there.
type patch struct{ address, word uint16 }

// mainLoop finds two places in a core's HEX: the top of the main loop, and the entry of the frame job, just after the loop has
// let interrupts in again. It looks for the shape of the loop in the very bytes that ship: the one watchdog reset that is soon
// followed by a jump back to a cli is the loop's end (between the two the loop asks whether it may sleep); the optimiser leaves no
// symbol there.
func mainLoop(hex []byte) (top, job patch, err error) {
	memory, err := flash.ReadHEX(hex)
	if err != nil {
		return top, job, err
	}
	all, err := memory.Flat(flash.TotalBytes)
	if err != nil {
		return top, job, err
	}
	if len(all) > flash.SafeAStart {
		all = all[:flash.SafeAStart]
	}
	word := func(at int) uint16 {
		if at < 0 || at+2 > len(all) {
			return 0
		}
		return binary.LittleEndian.Uint16(all[at:])
	}
	found := 0
	for at := 0; at+4 <= len(all); at += 2 {
		if word(at) != opWDR {
			continue
		}
		for jump := at + 2; jump < at+jumpReach; jump += 2 {
			if word(jump)&0xF000 != opRJMP {
				continue
			}
			distance := int(int16(word(jump)<<4)) >> 4 // words
			if to := jump + 2 + 2*distance; to < at && word(to) == opCLI {
				top = patch{uint16(to), opCLI}
				found++
				break
			}
		}
	}
	if found != 1 {
		return top, job, fmt.Errorf("the core's main loop is not where it is looked for: %d places fit", found)
	}
	for at := int(top.address); at < int(top.address)+64; at += 2 {
		if word(at) == opSEI && word(at+2) != opSLEEP {
			return top, patch{uint16(at + 2), word(at + 2)}, nil
		}
	}
	return top, job, errors.New("the core's main loop has no entry of a frame job where it is looked for")
}

// stopUnit is a loaded module, with the outputs of its stop lamp and the two places where its main loop can be made to hang.
func stopUnit(boardName string, routines int) (u *unit, stop mask, hangs [2]patch, err error) {
	if u, err = loaded(boardName, routines, false); err != nil {
		return u, stop, hangs, err
	}
	if hangs[0], hangs[1], err = mainLoop(u.HEX); err != nil {
		return u, stop, hangs, err
	}
	stop, err = u.outputs("stop")
	return u, stop, hangs, err
}
