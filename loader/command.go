package loader

import (
	"fmt"
	"strconv"
	"strings"
)

// Part is the controller, as avrdude names it.
const Part = "m328p"

// Options say what to write and how.
type Options struct {
	HEX        string // path of the Intel HEX file
	Programmer string // avrdude's name of the programmer; "": DefaultUSB without a port, DefaultSerial with one
	Port       string // such as /dev/ttyUSB0 or COM3; "": the programmer's own, usually USB
	Baud       int    // of a serial port, bits a second; 0: the programmer's own
	NoFuses    bool   // leave the fuses as they are
	Program    string // the avrdude to run; "": the one on the search path
}

// Programmers chosen when none is named.
const (
	DefaultUSB    = "usbasp"  // a plain USB programmer on the six-pin header: writes fuses, needs nothing in the chip
	DefaultSerial = "arduino" // the serial loader that many ready-made boards carry: writes flash only
)

// A programmer's habits, as far as they change the command line.
type habits struct {
	loader bool // speaks to a loader inside the chip: no chip erase, and fuses are out of reach
	slow   bool // its clock must be slowed down for a chip fresh from the maker
}

// known lists the programmers that need something special; all others are taken as they come.
var known = map[string]habits{
	"arduino":       {loader: true},
	"wiring":        {loader: true},
	"urclock":       {loader: true},
	"avr109":        {loader: true},
	"xbee":          {loader: true},
	"usbasp":        {slow: true},
	"usbasp-clone":  {slow: true},
	"usbtiny":       {slow: true},
	"avrispmkII":    {slow: true},
	"arduino_gemma": {loader: true},
}

// bitClockMicroseconds slows the programmer's clock to 100 kHz. A fresh chip runs at 1 MHz (8 MHz divided by 8), and the
// programming clock must stay under a quarter of it (data sheet, serial programming: low and high for more than two cycles).
const bitClockMicroseconds = 10

// chosen is the programmer that the options ask for.
func (o Options) chosen() string {
	switch {
	case o.Programmer != "":
		return o.Programmer
	case o.Port == "" || strings.HasPrefix(o.Port, "usb"):
		return DefaultUSB
	default:
		return DefaultSerial
	}
}

// WritesFuses tells whether the command writes the fuses: not when asked not to, and not through a loader in the chip.
func (o Options) WritesFuses() bool { return !o.NoFuses && !known[o.chosen()].loader }

// Command gives the program that writes the module, and its arguments. The flash comes first: when it cannot be written, the
// fuses stay as they were.
func (o Options) Command() []string {
	command := o.begin()
	if known[o.chosen()].loader {
		command = append(command, "-D")
	}
	command = append(command, "-U", "flash:w:"+o.HEX+":i")
	if o.WritesFuses() {
		for _, fuse := range []struct {
			name  string
			value byte
		}{{"lfuse", LowFuse}, {"hfuse", HighFuse}, {"efuse", ExtendedFuse}} {
			command = append(command, "-U", fmt.Sprintf("%s:w:0x%02X:m", fuse.name, fuse.value))
		}
	}
	return command
}

// ReadCommand gives the program that reads the module's flash into a file, byte for byte, and its arguments.
func (o Options) ReadCommand(file string) []string {
	return append(o.begin(), "-U", "flash:r:"+file+":r")
}

// begin is what reading and writing have in common.
func (o Options) begin() []string {
	program := o.Program
	if program == "" {
		program = "avrdude"
	}
	command := []string{program, "-p", Part, "-c", o.chosen()}
	if o.Port != "" {
		command = append(command, "-P", o.Port)
	}
	if o.Baud != 0 {
		command = append(command, "-b", strconv.Itoa(o.Baud))
	}
	if known[o.chosen()].slow {
		command = append(command, "-B", strconv.Itoa(bitClockMicroseconds))
	}
	return command
}

// KeepsLoader tells whether the way in is a loader inside the chip: the last 2 KiB of the flash are its own, so ours cannot be written.
func (o Options) KeepsLoader() bool { return known[o.chosen()].loader }

// Line gives the command as one would type it in a shell.
func Line(command []string) string {
	words := make([]string, len(command))
	for i, word := range command {
		if word == "" || strings.ContainsFunc(word, special) {
			word = "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
		}
		words[i] = word
	}
	return strings.Join(words, " ")
}

// special tells whether a shell might read something into a rune.
func special(r rune) bool {
	plain := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_./:=+,@%", r)
	return !plain
}
