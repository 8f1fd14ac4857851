package flash_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/flash"

	"pgregory.net/rapid"
)

func pattern(n int, seed byte) []byte {
	out := make([]byte, n)
	for i := range out {
		out[i] = byte(i)*31 + seed
	}
	return out
}

func TestJoinPlacesEveryPart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		core := append(rapid.SliceOfN(rapid.Byte(), 0, flash.CoreBytes-1).Draw(t, "core"), 1)
		var loader []byte
		if rapid.Bool().Draw(t, "has a loader") {
			loader = rapid.SliceOfN(rapid.Byte(), 1, 0x800).Draw(t, "loader")
			core = append(append(core, bytes.Repeat([]byte{0xFF}, 0x7800-len(core))...), loader...)
		}
		image := rapid.SliceOfN(rapid.Byte(), 1, 600).Draw(t, "image")
		var safe [flash.SafeBytes]byte
		copy(safe[:], rapid.SliceOfN(rapid.Byte(), 72, 72).Draw(t, "safe"))
		got, err := flash.Join(core, safe, image)
		if err != nil {
			t.Fatal(err)
		}
		// Addresses written out as figures: the constants themselves are under test.
		want := append(bytes.Repeat([]byte{0xFF}, 0x7800), loader...)
		copy(want, core)
		copy(want[0x1F80:], safe[:])
		copy(want[0x2000:], image)
		copy(want[0x7780:], safe[:])
		if !bytes.Equal(got, want) {
			t.Fatal("the map differs from its parts")
		}
	})
}

func TestJoinRooms(t *testing.T) {
	var safe [flash.SafeBytes]byte
	full, err := flash.Join(pattern(0x1F80, 1), safe, pattern(22400, 2))
	if err != nil || len(full) != 0x7800 {
		t.Fatalf("full rooms: %d bytes, %v; want 0x7800 bytes", len(full), err)
	}
	for _, c := range []struct {
		name        string
		core, image int
		words       string
	}{
		{"core over", 0x1F82, 1, "the core is 8066 bytes, 2 more than its room of 8064 bytes"},
		{"image over", 1, 22402, "the image is 22402 bytes, 2 more than its room of 22400 bytes"},
		{"core between", 0x7702, 1, "the core is 30466 bytes, 22402 more than its room of 8064 bytes"},
		{"no core", 0, 1, "the core is empty"},
		{"no image", 1, 0, "the image is empty"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := flash.Join(pattern(c.core, 1), safe, pattern(c.image, 2))
			if err == nil || !strings.Contains(err.Error(), c.words) {
				t.Fatalf("got %v, want words %q", err, c.words)
			}
		})
	}
	core := append(pattern(10, 1), bytes.Repeat([]byte{0xFF}, 0x7800-10)...)
	if _, err := flash.Join(append(core, pattern(0x801, 3)...), safe, []byte{1}); err == nil || !strings.Contains(err.Error(), "the loader is 2049 bytes, 1 more than its room of 2048 bytes") {
		t.Fatalf("a loader that is too long: %v", err)
	}
}

// The outside judge is GNU objcopy for AVR.
func TestHEXEqualsObjcopy(t *testing.T) {
	for _, c := range []struct {
		name  string
		start uint16
		bytes int
	}{{"one byte", 0, 1}, {"whole records", 0, 64}, {"part record", 0, 77}, {"image place", 0x2000, 515}, {"whole map", 0, 0x7800}} {
		t.Run(c.name, func(t *testing.T) {
			data := pattern(c.bytes, 7)
			got, err := flash.HEX(c.start, data)
			if err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			in, out := filepath.Join(dir, "in.bin"), filepath.Join(dir, "out.hex")
			if err := os.WriteFile(in, data, 0o600); err != nil {
				t.Fatal(err)
			}
			run(t, dir, "avr-objcopy", "-I", "binary", "-O", "ihex", "--change-section-address", ".data="+hexArg(c.start), in, out)
			want, err := os.ReadFile(out)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Fatalf("differs from objcopy:\n%s\nwant\n%s", head(got), head(want))
			}
		})
	}
}

func TestHEXBeyondFlash(t *testing.T) {
	if _, err := flash.HEX(0x7FFF, []byte{1, 2}); err == nil {
		t.Fatal("two bytes from the last address were accepted")
	}
}

func TestHEXReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := rapid.Uint16Range(0, 0x3000).Draw(t, "start")
		data := rapid.SliceOfN(rapid.Byte(), 1, 400).Draw(t, "data")
		text, err := flash.HEX(start, data)
		if err != nil {
			t.Fatal(err)
		}
		m, err := flash.ReadHEX(text)
		if err != nil {
			t.Fatal(err)
		}
		if len(m) != 1 || m[0].Addr != uint32(start) || !bytes.Equal(m[0].Data, data) {
			t.Fatalf("read back %v", m)
		}
		// A single damaged digit never passes: the checksum or the form tells.
		at := rapid.IntRange(1, len(text)-3).Draw(t, "at")
		if bad := bytes.Clone(text); isDigit(bad[at]) {
			bad[at] = "0123456789ABCDEF"[(strings.IndexByte("0123456789ABCDEF", bad[at])+rapid.IntRange(1, 15).Draw(t, "by"))%16]
			if _, err := flash.ReadHEX(bad); err == nil {
				t.Fatalf("digit %d damaged and not noticed:\n%s", at, bad)
			}
		}
	})
}

// A linked program with variables (initial values in flash, addresses in RAM) and a table in flash.
const program = `#include <avr/io.h>
#include <avr/pgmspace.h>
volatile unsigned char kept[5] = {1, 2, 3, 4, 5};
const unsigned char table[700] PROGMEM = {9, 8, 7};
int main(void) { for (;;) PORTB = kept[2] + pgm_read_byte(&table[PORTB]); }
`

func TestFromELFEqualsObjcopy(t *testing.T) {
	dir := t.TempDir()
	src, prog := filepath.Join(dir, "p.c"), filepath.Join(dir, "p.elf")
	if err := os.WriteFile(src, []byte(program), 0o600); err != nil {
		t.Fatal(err)
	}
	run(t, dir, "avr-gcc", "-mmcu=atmega328p", "-Os", "-o", prog, src)
	run(t, dir, "avr-objcopy", "-O", "binary", "-R", ".eeprom", prog, "p.bin")
	run(t, dir, "avr-objcopy", "-O", "ihex", "-R", ".eeprom", prog, "p.hex")
	f, err := os.Open(prog)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	got, err := flash.FromELF(f)
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile(filepath.Join(dir, "p.bin"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Fatalf("%d bytes, objcopy gives %d, or they differ", len(got), len(want))
	}
	text, err := os.ReadFile(filepath.Join(dir, "p.hex"))
	if err != nil {
		t.Fatal(err)
	}
	m, err := flash.ReadHEX(text)
	if err != nil {
		t.Fatal(err)
	}
	flat, err := m.Flat(flash.TotalBytes)
	if err != nil || !bytes.Equal(flat, got) {
		t.Fatalf("HEX of objcopy reads differently (%v)", err)
	}
}

func TestFromELFRefuses(t *testing.T) {
	own, err := os.Open("/proc/self/exe")
	if err != nil {
		t.Fatal(err)
	}
	defer own.Close()
	for name, r := range map[string]struct {
		r     readerAt
		words string
	}{
		"text":      {strings.NewReader("not a program at all"), "not a linked program"},
		"other CPU": {own, "not for an AVR controller"},
	} {
		if _, err := flash.FromELF(r.r); err == nil || !strings.Contains(err.Error(), r.words) {
			t.Errorf("%s: got %v, want words %q", name, err, r.words)
		}
	}
}

type readerAt interface {
	ReadAt(p []byte, off int64) (int, error)
}

func isDigit(b byte) bool { return strings.IndexByte("0123456789ABCDEF", b) >= 0 }

func hexArg(v uint16) string { return fmt.Sprintf("0x%04x", v) }

func head(b []byte) []byte { return b[:min(len(b), 200)] }

func run(t *testing.T, dir, name string, args ...string) {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%s: %v\n%s\nnext: apt-get install -y gcc-avr avr-libc binutils-avr", name, err, out)
	}
}
