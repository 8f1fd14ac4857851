package loader

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"

	"lampwright/board"
	"lampwright/firmware"
	"lampwright/flash"
	"lampwright/program"
	"lampwright/report"
)

// Contents is what a module's flash holds, with the checks that a label carries. Checks are four hexadecimal digits.
type Contents struct {
	Board        string   `json:"board"`         // chain or pins; "": the module has no core with a serial line
	CoreVersion  int      `json:"core_version"`  // 0: likewise
	CoreCheck    string   `json:"core_check"`    // CRC-16 of the flash up to the safe block
	CoreShipped  bool     `json:"core_shipped"`  // it is the very core that this tool ships
	Lamps        []Served `json:"lamps"`         // whom the image serves: empty when there is no image
	ImageVersion int      `json:"image_version"` // 0: there is no image
	ImageBytes   int      `json:"image_bytes"`
	ImageCheck   string   `json:"image_check"` // as make and the label tell it
	ImageRight   bool     `json:"image_right"` // the check agrees with the bytes
	SafeCheck    string   `json:"safe_check"`  // of the copy in force; "": none is right
	SafeA        bool     `json:"safe_a"`      // copy A is right
	SafeB        bool     `json:"safe_b"`
}

// Served is one lamp that an image is for.
type Served struct {
	Kit       string `json:"kit"` // eight hexadecimal digits
	Lamp      int    `json:"lamp"`
	Side      string `json:"side"`
	Outputs   int    `json:"outputs"`
	Walk      bool   `json:"walk"`
	Live      bool   `json:"live"`
	NameInJob string `json:"name,omitempty"` // of the job that was given with the command
}

// served tells a hand as a result does.
func (h Hand) served() Served {
	return Served{Kit: fmt.Sprintf("%08x", h.Kit), Lamp: int(h.Lamp), Side: sideWord(h.Side), Outputs: 8 * h.Registers, Walk: h.Walk, Live: h.Live}
}

// String tells it in words.
func (s Served) String() string {
	if s.Walk {
		return fmt.Sprintf("the wiring walk of %d outputs", s.Outputs)
	}
	return fmt.Sprintf("kit %s, lamp %d, %s, %d outputs", s.Kit, s.Lamp, s.Side, s.Outputs)
}

// contents reads all that counts; told is called with the bytes read so far and in all.
func contents(read memory, told func(done, all int)) (Contents, error) {
	var c Contents
	id, err := identify(read)
	if err != nil {
		return c, err
	}
	head, err := read(flash.ImageStart, headBytes)
	if err != nil {
		return c, err
	}
	c.Lamps, c.SafeA, c.SafeB = []Served{}, id.SafeA, id.SafeB
	if id.Core != nil {
		c.Board, c.CoreVersion = string(id.Core.Board), id.Core.Version
	}
	for _, h := range id.Hands {
		c.Lamps = append(c.Lamps, h.served())
	}
	length := 0
	if len(id.Hands) > 0 {
		c.ImageVersion = int(head[2])
		if length = int(binary.LittleEndian.Uint16(head[4:])); length > program.MaxImageBytes {
			length = 0
		}
	}
	all, done := flash.CoreBytes+length, 0
	piece := func(at, n int) (out []byte, err error) {
		for n > 0 && err == nil {
			told(done, all)
			some := min(n, flash.PageBytes)
			var bytes []byte
			bytes, err = read(at, some)
			out, at, n, done = append(out, bytes...), at+some, n-some, done+some
		}
		return out, err
	}
	core, err := piece(flash.CoreStart, flash.CoreBytes)
	if err != nil {
		return c, err
	}
	c.CoreCheck, c.CoreShipped = fmt.Sprintf("%04x", program.CRC(core)), shipped(core)
	image, err := piece(flash.ImageStart, length)
	if err != nil {
		return c, err
	}
	told(all, all)
	if length > 2 {
		c.ImageBytes = length
		c.ImageCheck, c.ImageRight = fmt.Sprintf("%04x", binary.BigEndian.Uint16(image[length-2:])), program.CRC(image) == 0
	}
	if at := map[bool]int{true: flash.SafeAStart, false: flash.SafeBStart}[id.SafeA]; id.SafeA || id.SafeB {
		block, err := read(at, program.SafeBytes)
		if err != nil {
			return c, err
		}
		c.SafeCheck = fmt.Sprintf("%04x", binary.BigEndian.Uint16(block[program.SafeBytes-2:]))
	}
	return c, nil
}

// shipped tells whether a core is one of those that this tool ships.
func shipped(core []byte) bool {
	for _, hex := range [][]byte{firmware.Chain, firmware.Pins} {
		if ours, err := flat(hex); err == nil && bytes.Equal(core, ours[:flash.CoreBytes]) {
			return true
		}
	}
	return false
}

// ContentsOf tells what a flash holds that was read with Held.
func ContentsOf(held []byte) Contents {
	c, _ := contents(from(held), func(int, int) {}) // bytes at hand are always there
	return c
}

// Read tells what a module holds, over the serial line. The lamps go on meanwhile.
func (l *Serial) Read(ctx context.Context, progress Progress) (Contents, *report.Diagnostic) {
	c, err := contents(l.memory(ctx), func(done, all int) { progress("reading", done, all) })
	if err != nil {
		return Contents{}, l.trouble(ctx, err)
	}
	return c, nil
}

// Words tells it for a reader, a line each.
func (c Contents) Words() []string {
	core := "core: none with a serial line"
	if c.CoreVersion > 0 {
		core = fmt.Sprintf("core: for boards of the kind %s, version %d, check %s", kindWord(board.Core(c.Board)), c.CoreVersion, c.CoreCheck)
		if c.CoreShipped {
			core += ", the one that this tool ships"
		}
	}
	lines := []string{core}
	for _, s := range c.Lamps {
		line := "image: " + s.String()
		if s.NameInJob != "" {
			line = fmt.Sprintf("image: %s (%s)", s.NameInJob, s)
		}
		if s.Live {
			line += ", streamed light allowed"
		}
		lines = append(lines, line)
	}
	switch {
	case len(c.Lamps) == 0:
		lines = append(lines, "image: none; the module shows plain signals")
	case c.ImageRight:
		lines = append(lines, fmt.Sprintf("image: version %d, %d bytes, check %s, which is right", c.ImageVersion, c.ImageBytes, c.ImageCheck))
	default:
		lines = append(lines, fmt.Sprintf("image: version %d, damaged; the module shows plain signals: load it again", c.ImageVersion))
	}
	return append(lines, map[[2]bool]string{
		{true, true}:   fmt.Sprintf("safe block: check %s, both copies right", c.SafeCheck),
		{true, false}:  fmt.Sprintf("safe block: check %s, copy A right, copy B damaged: load it again", c.SafeCheck),
		{false, true}:  fmt.Sprintf("safe block: check %s, copy B right, copy A damaged: load it again", c.SafeCheck),
		{false, false}: "safe block: both copies damaged: a stop on in2 lights every output; load it again",
	}[[2]bool{c.SafeA, c.SafeB}])
}
