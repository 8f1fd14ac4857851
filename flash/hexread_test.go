package flash_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/flash"
)

func TestReadHEXFaults(t *testing.T) {
	const end = ":00000001FF\n"
	for _, c := range []struct {
		name, text   string
		line, column int
		words        string
	}{
		{"empty", "", 1, 1, "end record"},
		{"no end", ":0100000001FE\n", 1, 1, "end record"},
		{"no colon", "0100000001FE\n" + end, 1, 1, "begins with ':'"},
		{"bad digit", ":01000000G1FE\n" + end, 1, 10, "not a hexadecimal digit"},
		{"bad second digit", ":010000000GFE\n" + end, 1, 11, "not a hexadecimal digit"},
		{"odd digits", ":0100000001F\n" + end, 1, 12, "odd number"},
		{"short", ":000001FF\n" + end, 1, 1, "at least 5 bytes"},
		{"length", ":0200000001FD\n" + end, 1, 2, "says 2 data bytes and holds 1"},
		{"checksum", "\n:0100000001FF\n" + end, 2, 12, "checksum is 0xFF, the bytes give 0xFE"},
		{"kind", ":00000006FA\n" + end, 1, 8, "kind 06 is not known"},
		{"end with data", ":0100000101FD\n", 1, 2, "kind 01 has 0 data bytes"},
		{"segment length", ":0100000201FC\n" + end, 1, 2, "kind 02 has 2 data bytes"},
		{"after end", end + ":0100000001FE\n", 2, 1, "after the end record"},
		{"twice", ":0100000001FE\n:0100000001FE\n" + end, 2, 4, "given twice, in lines 1 and 2"},
		{"segment overrun", ":020000020000FC\n:02FFFF000102FD\n" + end, 2, 4, "64 KiB segment"},
		{"address overrun", ":02000004FFFFFC\n:02FFFF000102FD\n" + end, 2, 4, "32-bit"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := flash.ReadHEX([]byte(c.text))
			var faults flash.Faults
			if !errors.As(err, &faults) {
				t.Fatalf("got %v, %v; want faults", m, err)
			}
			f := faults[0]
			if f.Line != c.line || f.Column != c.column || !strings.Contains(f.Text, c.words) {
				t.Fatalf("got %d:%d %s; want %d:%d with %q", f.Line, f.Column, f.Text, c.line, c.column, c.words)
			}
		})
	}
}

func TestReadHEXListsAllFaults(t *testing.T) {
	_, err := flash.ReadHEX([]byte(":0100000001FF\n:0100000G\nhello\n"))
	var faults flash.Faults
	if !errors.As(err, &faults) || len(faults) != 3 {
		t.Fatalf("got %v, want three faults", err)
	}
	_, err = flash.ReadHEX(bytes.Repeat([]byte("no\n"), 1000))
	if !errors.As(err, &faults) || len(faults) != 20 {
		t.Fatalf("a file that is no HEX at all lists %d faults, want 20", len(faults))
	}
}

// Addresses of the extended records, worked out by hand from the format specification: segment 0x1000 is 0x10000, linear
// 0x0001 is 0x10000 too.
func TestReadHEXExtendedAddresses(t *testing.T) {
	for _, text := range []string{":020000021000EC\n:0100020042BB\n:00000001FF\n", ":020000040001F9\n:0100020042BB\n:00000001FF\n"} {
		m, err := flash.ReadHEX([]byte(text))
		if err != nil || len(m) != 1 || m[0].Addr != 0x10002 || m[0].Data[0] != 0x42 {
			t.Fatalf("%q gives %v, %v", text, m, err)
		}
		if _, err := m.Flat(flash.TotalBytes); err == nil {
			t.Fatal("a byte beyond the flash was accepted")
		}
	}
}

func TestFlatFillsGaps(t *testing.T) {
	m, err := flash.ReadHEX([]byte(":01000400AA51\n:0100010055A9\n:00000001FF\n"))
	if err != nil || len(m) != 2 {
		t.Fatal(m, err)
	}
	flat, err := m.Flat(16)
	if err != nil || !bytes.Equal(flat, []byte{0xFF, 0x55, 0xFF, 0xFF, 0xAA}) {
		t.Fatal(flat, err)
	}
}

func FuzzReadHEX(f *testing.F) {
	seeds, err := filepath.Glob("testdata/hex/*.hex")
	if err != nil || len(seeds) == 0 {
		f.Fatalf("no seeds in testdata/hex (%v)", err)
	}
	for _, name := range seeds {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		m, err := flash.ReadHEX(text)
		if err != nil {
			var faults flash.Faults
			if !errors.As(err, &faults) || len(faults) == 0 || len(faults) > 20 {
				t.Fatalf("error of another kind: %v", err)
			}
			return
		}
		for i, s := range m {
			if len(s.Data) == 0 || i > 0 && s.Addr <= m[i-1].End() {
				t.Fatalf("segments not sorted and apart: %v", m)
			}
		}
		if len(m) != 1 || m[0].End() > flash.TotalBytes {
			return
		}
		again, err := flash.HEX(uint16(m[0].Addr), m[0].Data)
		if err != nil {
			t.Fatal(err)
		}
		back, err := flash.ReadHEX(again)
		if err != nil || len(back) != 1 || back[0].Addr != m[0].Addr || !bytes.Equal(back[0].Data, m[0].Data) {
			t.Fatalf("print and read again differ: %v", err)
		}
	})
}
