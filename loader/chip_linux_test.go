package loader

import (
	"fmt"
	"io"
	"os"
	"syscall"
	"testing"
	"unsafe"
)

// chip is an ATmega328P behind a programmer that speaks the STK500 version 1 protocol, on a pseudo-terminal.
// Source of the protocol: Atmel application note AVR061, "STK500 Communication Protocol" (the programmer's side was written
// from memory of it; the judge is the real avrdude, which refuses anything else). Source of the fuse and signature
// instructions: ATmega328P data sheet, serial programming instruction set.
type chip struct {
	signature [3]byte
	flash     [32 << 10]byte
	fuses     map[string]byte
	erased    bool
	broken    int // flash address whose bit 0 cannot be programmed; -1: none
	at        int // byte address
}

func newChip() *chip {
	c := &chip{signature: [3]byte{0x1E, 0x95, 0x0F}, fuses: map[string]byte{"l": 0x62, "h": 0xD9, "e": 0xFF}, broken: -1}
	for i := range c.flash {
		c.flash[i] = 0xFF
	}
	return c
}

// plug puts the chip on a pseudo-terminal and gives the name of its port. Wait for done before looking at the chip.
func (c *chip) plug(t *testing.T) (port string, done func()) {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	var unlock, number int32
	for request, arg := range map[uintptr]*int32{syscall.TIOCSPTLCK: &unlock, syscall.TIOCGPTN: &number} {
		if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, master.Fd(), request, uintptr(unsafe.Pointer(arg))); e != 0 {
			t.Fatal(e)
		}
	}
	port = fmt.Sprintf("/dev/pts/%d", number)
	// While we hold the port open, the chip's side does not end when avrdude opens it twice.
	hold, err := os.OpenFile(port, os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		c.serve(master)
	}()
	return port, func() {
		hold.Close()
		<-ended
		master.Close()
	}
}

// serve answers until the port is closed.
func (c *chip) serve(port io.ReadWriter) {
	take := func(n int) []byte {
		buf := make([]byte, n)
		if _, err := io.ReadFull(port, buf); err != nil {
			return nil
		}
		return buf
	}
	for {
		head := take(1)
		if head == nil {
			return
		}
		var answer []byte
		switch head[0] {
		case 0x30, 0x50, 0x51: // sync, enter, leave
		case 0x52:
			c.erase()
		case 0x41: // get parameter
			if p := take(1); p != nil {
				answer = []byte{map[byte]byte{0x81: 1, 0x82: 16}[p[0]]}
			}
		case 0x40:
			take(2)
		case 0x42:
			take(20)
		case 0x45:
			if n := take(1); n != nil {
				take(int(n[0]) - 1)
			}
		case 0x55:
			if a := take(2); a != nil {
				c.at = 2 * (int(a[0]) | int(a[1])<<8)
			}
		case 0x56:
			if op := take(4); op != nil {
				answer = []byte{c.instruction(op)}
			}
		case 0x64: // program page
			if h := take(3); h != nil {
				for i, b := range take(int(h[0])<<8 | int(h[1])) {
					if c.at+i == c.broken {
						b |= 1
					}
					c.flash[c.at+i] &= b
				}
			}
		case 0x74: // read page
			if h := take(3); h != nil {
				n := int(h[0])<<8 | int(h[1])
				answer = append(answer, c.flash[c.at:c.at+n]...)
			}
		case 0x75:
			answer = c.signature[:]
		default:
			continue // noise, as after a reset
		}
		if end := take(1); end == nil || end[0] != 0x20 {
			continue
		}
		port.Write(append(append([]byte{0x14}, answer...), 0x10))
	}
}

func (c *chip) erase() {
	c.erased = true
	for i := range c.flash {
		c.flash[i] = 0xFF
	}
}

// instruction obeys one serial programming instruction.
func (c *chip) instruction(op []byte) byte {
	switch {
	case op[0] == 0xAC && op[1] == 0x80:
		c.erase()
	case op[0] == 0xAC && op[1] == 0xA0:
		c.fuses["l"] = op[3]
	case op[0] == 0xAC && op[1] == 0xA8:
		c.fuses["h"] = op[3]
	case op[0] == 0xAC && op[1] == 0xA4:
		c.fuses["e"] = op[3]
	case op[0] == 0x50 && op[1] == 0x00:
		return c.fuses["l"]
	case op[0] == 0x58 && op[1] == 0x08:
		return c.fuses["h"]
	case op[0] == 0x50 && op[1] == 0x08:
		return c.fuses["e"]
	case op[0] == 0x30:
		return c.signature[op[2]&3%3]
	}
	return 0
}
