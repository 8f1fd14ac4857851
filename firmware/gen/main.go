// Command gen writes the firmware's constant tables as C.
//
// Run it in the module: go run ./firmware/gen firmware/core. It writes tables.h and tables.c there; the same program gives
// the same bytes on every machine, because it computes in exact fractions and rounds once.
package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
)

const note = "/* Written by firmware/gen: do not edit. */\n"

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: gen <folder of the portable core>")
		os.Exit(2)
	}
	for _, f := range files() {
		if err := os.WriteFile(filepath.Join(os.Args[1], f.name), f.text, 0o644); err != nil {
			fmt.Fprintf(os.Stderr, "The table was not written: %v. Give a folder that exists and may be written.\n", err)
			os.Exit(1)
		}
	}
}

type file struct {
	name string
	text []byte
}

// files returns the declarations and the definitions of all tables.
func files() []file {
	var h, c bytes.Buffer
	h.WriteString(note + `#ifndef TABLES_H
#define TABLES_H
#ifndef __ASSEMBLER__
#include <stdint.h>
#ifdef __AVR__
#include <avr/pgmspace.h>
#else
#define PROGMEM
#endif
#endif
`)
	c.WriteString(note + "#include \"tables.h\"\n")
	writeDuty(&h, &c)
	h.WriteString("\n#endif\n")
	return []file{{"tables.h", h.Bytes()}, {"tables.c", c.Bytes()}}
}
