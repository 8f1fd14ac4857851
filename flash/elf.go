package flash

import (
	"debug/elf"
	"fmt"
	"io"
)

// elfDataSpace is where AVR linkers put everything that is not flash: RAM from 0x800000, EEPROM from 0x810000, fuses and
// lock bits above (GNU ld, AVR emulation scripts).
const elfDataSpace = 0x800000

// FromELF gives the flash bytes of a linked AVR program, from address 0 to the last byte used, gaps Blank. It reads load
// addresses: initial values of variables lie in flash although the program sees them in RAM. Only tests and the build of the
// core read ELF; a builder never needs one.
func FromELF(r io.ReaderAt) ([]byte, error) {
	f, err := elf.NewFile(r)
	if err != nil {
		return nil, fmt.Errorf("the file is not a linked program: %w", err)
	}
	defer f.Close()
	if f.Machine != elf.EM_AVR {
		return nil, fmt.Errorf("the program is for %v, not for an AVR controller; link it with avr-gcc", f.Machine)
	}
	out := blank(TotalBytes)
	used := make([]bool, TotalBytes)
	end := uint64(0)
	for _, p := range f.Progs {
		if p.Type != elf.PT_LOAD || p.Filesz == 0 || p.Paddr >= elfDataSpace {
			continue
		}
		if p.Filesz > TotalBytes || p.Paddr+p.Filesz > TotalBytes {
			return nil, fmt.Errorf("the program places %d bytes at 0x%X, beyond the flash of %d bytes", p.Filesz, p.Paddr, TotalBytes)
		}
		data := make([]byte, p.Filesz)
		if _, err := p.ReadAt(data, 0); err != nil {
			return nil, fmt.Errorf("the program is cut short at load address 0x%X: %w", p.Paddr, err)
		}
		for i, b := range data {
			at := p.Paddr + uint64(i)
			if used[at] {
				return nil, fmt.Errorf("the program gives flash address 0x%X twice", at)
			}
			out[at], used[at] = b, true
		}
		end = max(end, p.Paddr+p.Filesz)
	}
	if end == 0 {
		return nil, fmt.Errorf("the program holds no flash bytes; link it, do not only compile it")
	}
	return out[:end], nil
}
