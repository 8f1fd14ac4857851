package measure

import (
	"bytes"
	"debug/elf"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"lampwright/firmware"
	"lampwright/flash"
)

// ramBytes is the memory of the controller, 0x0100 to 0x08FF (ATmega328P data sheet).
const ramBytes, ramEnd = 2048, 0x08FF

// Size is the memory that a core takes.
type Size struct {
	Board     string
	Core      int    // bytes of flash, of flash.CoreBytes
	Loader    int    // bytes of flash, of flash.LoaderBytes
	StaticRAM int    // bytes
	StaticEnd uint16 // data address behind them: the stack must stay above
}

// Sizes builds the cores as the build script does, in a folder, and measures them. What ships is measured: a build that
// gives other bytes than the prebuilt HEX is an error. root is the root of the source tree.
func Sizes(root, folder string) ([]Size, error) {
	if out, err := exec.Command("sh", filepath.Join(root, "firmware/build.sh"), folder).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("the core cannot be built (apt-get install gcc-avr avr-libc binutils-avr): %w\n%s", err, out)
	}
	var all []Size
	for _, b := range []struct {
		name     string
		prebuilt []byte
	}{{"chain", firmware.Chain}, {"pins", firmware.Pins}} {
		built, err := os.ReadFile(filepath.Join(folder, b.name+".hex"))
		if err != nil {
			return nil, err
		}
		if !bytes.Equal(built, b.prebuilt) {
			return nil, fmt.Errorf("the core for %s that is built here is not the one that ships: renew it with sh firmware/build.sh", b.name)
		}
		memory, err := flash.ReadHEX(built)
		if err != nil {
			return nil, err
		}
		whole, err := memory.Flat(flash.TotalBytes)
		if err != nil {
			return nil, err
		}
		s := Size{Board: b.name, Core: used(whole[:flash.CoreBytes]), Loader: used(whole[flash.LoaderStart:])}
		if s.StaticRAM, s.StaticEnd, err = staticRAM(filepath.Join(folder, b.name+".elf")); err != nil {
			return nil, err
		}
		all = append(all, s)
	}
	return all, nil
}

// used is how many bytes a piece of flash takes: what is behind its last programmed byte is free.
func used(piece []byte) int { return len(bytes.TrimRight(piece, "\xff")) }

// staticRAM adds up the sections of a linked program that lie in memory.
func staticRAM(path string) (size int, end uint16, err error) {
	f, err := elf.Open(path)
	if err != nil {
		return 0, 0, err
	}
	defer f.Close()
	const data = 0x80_0000 // the linker's address of memory byte 0
	for _, s := range f.Sections {
		if s.Flags&elf.SHF_ALLOC != 0 && s.Flags&elf.SHF_WRITE != 0 && s.Addr >= data && s.Addr <= data+ramEnd && s.Size > 0 {
			size += int(s.Size)
			end = max(end, uint16(s.Addr-data+s.Size))
		}
	}
	if size == 0 {
		return 0, 0, fmt.Errorf("%s has no section in memory", path)
	}
	return size, end, nil
}

// Figures gives the size as figures. lowestStack is the lowest stack pointer that any run of the core saw, 0: none was seen.
func (s Size) Figures(lowestStack uint16) []Figure {
	list := []Figure{
		{"core, flash below 0x1F80, " + s.Board, float64(s.Core), "bytes", atMost(flash.CoreBytes)},
		{"loader with the core's mark, flash from 0x7800, " + s.Board, float64(s.Loader), "bytes", atMost(flash.LoaderBytes)},
		{"static memory, " + s.Board, float64(s.StaticRAM), "bytes", below(ramBytes)},
	}
	if lowestStack > 0 {
		list = append(list,
			Figure{"deepest stack, " + s.Board, float64(ramEnd - int(lowestStack)), "bytes", Goal{}},
			Figure{"memory never touched by the stack, " + s.Board, float64(int(lowestStack) + 1 - int(s.StaticEnd)), "bytes", atLeast(stackSpare)})
	}
	return list
}

// stackSpare is what must be left between the deepest stack and static memory, bytes: more than one further interrupt would take.
const stackSpare = 32

// BuildCore gives the commands with which the build script makes the chain core, as one that runs them again. They are taken
// from the script's own trace, so that they are always those.
func BuildCore(root, folder string) (again func() (time.Duration, error), err error) {
	out, err := exec.Command("sh", "-x", filepath.Join(root, "firmware/build.sh"), folder).CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("the core cannot be built (apt-get install gcc-avr avr-libc binutils-avr): %w\n%s", err, out)
	}
	var commands [][]string
	linked := false
	for _, line := range strings.Split(string(out), "\n") {
		words := strings.Fields(strings.TrimPrefix(line, "+ "))
		if len(words) == 0 || words[0] != "avr-gcc" && words[0] != "avr-objcopy" {
			continue
		}
		ours := false
		for i, w := range words {
			switch base := filepath.Base(w); {
			case strings.HasPrefix(base, "chain-") && strings.HasSuffix(base, ".o"): // the script's own folder is gone by now
				words[i] = filepath.Join(folder, base)
				ours = true
			case base == "chain.elf":
				ours, linked = true, true
			}
		}
		if ours {
			commands = append(commands, words)
		}
	}
	if !linked || len(commands) < 3 {
		return nil, fmt.Errorf("the build script made the chain core with %d commands, and more are known", len(commands))
	}
	return func() (time.Duration, error) {
		start := time.Now()
		for _, words := range commands {
			cmd := exec.Command(words[0], words[1:]...)
			cmd.Dir = filepath.Join(root, "firmware")
			if out, err := cmd.CombinedOutput(); err != nil {
				return 0, fmt.Errorf("%s: %w\n%s", words[0], err, out)
			}
		}
		return time.Since(start), nil
	}, nil
}
