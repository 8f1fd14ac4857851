package loader

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/flash"
)

// The real avrdude is the judge of the command line: it writes a simulated chip, reads it back and compares.

func writeHEX(t *testing.T) (path string, data []byte) {
	t.Helper()
	random := rand.New(rand.NewPCG(1, 1))
	data = make([]byte, 3000)
	for i := range data {
		data[i] = byte(random.Uint32())
	}
	data[evenAt] &^= 1
	text, err := flash.HEX(0, data)
	if err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "rear lh.hex")
	if err := os.WriteFile(path, text, 0o644); err != nil {
		t.Fatal(err)
	}
	return path, data
}

// evenAt is the address of a byte of writeHEX whose lowest bit is to be 0.
const evenAt = 1201

func needAvrdude(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("avrdude"); err != nil {
		t.Fatal("avrdude is missing: run scripts/need-tools")
	}
}

func TestAvrdudeWritesThroughAProgrammer(t *testing.T) {
	needAvrdude(t)
	path, data := writeHEX(t)
	c := newChip()
	copy(c.flash[100:], "an older program")
	port, done := c.plug(t)
	var out bytes.Buffer
	d := Run(context.Background(), Options{HEX: path, Programmer: "stk500v1", Port: port}, &out)
	done()
	if d != nil {
		t.Fatalf("%v\n%s", d, out.String())
	}
	if !c.erased || !bytes.Equal(c.flash[:len(data)], data) {
		t.Error("the chip does not hold the program")
	}
	if c.fuses["l"] != LowFuse || c.fuses["h"] != HighFuse || c.fuses["e"]&7 != ExtendedFuse&7 {
		t.Errorf("fuses %X", c.fuses)
	}
	if !strings.Contains(out.String(), "bytes of flash verified") || !strings.Contains(out.String(), "efuse verified") {
		t.Errorf("avrdude does not tell that it compared:\n%s", out.String())
	}
}

func TestAvrdudeWritesThroughASerialLoader(t *testing.T) {
	needAvrdude(t)
	path, data := writeHEX(t)
	c := newChip()
	port, done := c.plug(t)
	var out bytes.Buffer
	d := Run(context.Background(), Options{HEX: path, Port: port, Baud: 57600}, &out)
	done()
	if d != nil {
		t.Fatalf("%v\n%s", d, out.String())
	}
	if c.erased || !bytes.Equal(c.flash[:len(data)], data) {
		t.Error("the chip does not hold the program, or the loader was erased")
	}
	if c.fuses["l"] != 0x62 || c.fuses["h"] != 0xD9 || c.fuses["e"] != 0xFF {
		t.Errorf("fuses were touched: %X", c.fuses)
	}
}

func TestAvrdudeFindsDamageAndStrangers(t *testing.T) {
	needAvrdude(t)
	for name, c := range map[string]struct {
		spoil func(*chip)
		id    string
		says  string
	}{
		"a bit that cannot be written": {func(c *chip) { c.broken = evenAt }, IDMismatch, "differs"},
		"another chip":                 {func(c *chip) { c.signature[2] = 0x16 }, IDWrongController, "an ATmega328PB"},
		"no chip":                      {func(c *chip) { c.signature = [3]byte{} }, IDNoAnswer, "no chip is heard"},
	} {
		t.Run(name, func(t *testing.T) {
			path, _ := writeHEX(t)
			simulated := newChip()
			c.spoil(simulated)
			port, done := simulated.plug(t)
			var out bytes.Buffer
			d := Run(context.Background(), Options{HEX: path, Programmer: "stk500v1", Port: port}, &out)
			done()
			if d == nil || d.ID != c.id || !strings.Contains(d.Text, c.says) || d.Next == "" {
				t.Fatalf("%+v\n%s", d, out.String())
			}
			if simulated.fuses["l"] != 0x62 {
				t.Error("the fuses were written although the flash was not")
			}
		})
	}
}

func TestAvrdudeSaysWhatIsMissing(t *testing.T) {
	needAvrdude(t)
	path, _ := writeHEX(t)
	for name, c := range map[string]struct {
		options Options
		id      string
	}{
		"no such port":          {Options{Port: filepath.Join(t.TempDir(), "ttyUSB9")}, IDNoPort},
		"no such programmer":    {Options{Programmer: "nonsense"}, IDProgrammer},
		"no programmer plugged": {Options{}, IDNoPort},
		"no avrdude":            {Options{Program: "avrdude-that-is-not-there"}, IDNoAvrdude},
		"no avrdude at a path":  {Options{Program: filepath.Join(t.TempDir(), "avrdude")}, IDNoAvrdude},
		"no HEX":                {Options{HEX: "missing.hex"}, IDNoHEX},
	} {
		if c.options.HEX == "" {
			c.options.HEX = path
		}
		var out bytes.Buffer
		d := Run(context.Background(), c.options, &out)
		if d == nil || d.ID != c.id || d.Next == "" {
			t.Errorf("%s: %+v\n%s", name, d, out.String())
		}
	}
}
