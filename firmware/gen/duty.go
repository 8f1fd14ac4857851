package main

import (
	"bytes"
	"fmt"
	"math/big"
)

const (
	levelMax = 255  // lightness L* = 100
	dutyMax  = 2047 // always on
	lowBits  = 8    // of a duty stand in the table
)

// duty returns the duty 0..dutyMax whose light, relative to full, has the lightness level*100/levelMax: CIE 1976 lightness
// L*, CIE 15:2004 section 8.2.1 (from memory), inverted. Exact in fractions, then rounded to the nearest, halves up.
func duty(level int64) int64 {
	lightness := big.NewRat(level*100, levelMax)
	y := new(big.Rat)
	if lightness.Cmp(big.NewRat(8, 1)) > 0 {
		f := new(big.Rat).Add(lightness, big.NewRat(16, 1))
		f.Quo(f, big.NewRat(116, 1))
		y.Mul(f, f).Mul(y, f)
	} else {
		y.Mul(lightness, big.NewRat(27, 24389))
	}
	y.Mul(y, big.NewRat(dutyMax, 1)).Add(y, big.NewRat(1, 2))
	return new(big.Int).Quo(y.Num(), y.Denom()).Int64()
}

// firstAt returns the first level whose duty is at least d.
func firstAt(d int64) (level int64) {
	for duty(level) < d {
		level++
	}
	return level
}

func writeDuty(h, c *bytes.Buffer) {
	fmt.Fprintf(h, `
/* The duty 0..%d of a level 0..%d: its low eight bits are duty_low[level]; its upper three say how many of the following levels it
 * has reached. Bits 0..2 go to the planes sub0..sub2, bits 3..10 to P0..P7. */
`, dutyMax, levelMax)
	for d := int64(1 << lowBits); d <= dutyMax; d += 1 << lowBits {
		fmt.Fprintf(h, "#define DUTY_%d_AT %d\n", d, firstAt(d))
	}
	fmt.Fprintf(h, `
#ifndef __ASSEMBLER__
extern const uint8_t duty_low[%d] PROGMEM;
#endif
`, levelMax+1)
	fmt.Fprintf(c, "\nconst uint8_t duty_low[%d] PROGMEM = {", levelMax+1)
	for level := int64(0); level <= levelMax; level++ {
		if level%16 == 0 {
			c.WriteString("\n\t")
		} else {
			c.WriteByte(' ')
		}
		fmt.Fprintf(c, "%d,", duty(level)%(1<<lowBits))
	}
	c.WriteString("\n};\n")
}
