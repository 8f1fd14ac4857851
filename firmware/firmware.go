package firmware

import (
	_ "embed"
	"strings"
)

//go:generate sh build.sh

// Chain is the module's program for the board with a chain of power shift registers, as Intel HEX, in two pieces: the core from
// 0x0000, which ends before the safe block at 0x1F80, and the loader from 0x7800 with the core's mark behind it.
//
//go:embed prebuilt/chain.hex
var Chain []byte

// Pins is the module's program for the board whose outputs are the processor's own pins, as Intel HEX, likewise.
//
//go:embed prebuilt/pins.hex
var Pins []byte

//go:embed prebuilt/toolchain.txt
var toolchain string

// Toolchain names the compiler and the library that built Chain and Pins, with their versions: "avr-gcc 5.4.0 and
// avr-libc 2.0.0". Only the same ones give the same bytes.
func Toolchain() string {
	return strings.ReplaceAll(strings.TrimSpace(toolchain), "\n", " and ")
}
