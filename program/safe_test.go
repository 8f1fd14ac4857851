package program

import (
	"encoding/binary"
	"strings"
	"testing"
)

func TestSafeRefusals(t *testing.T) {
	good, err := EncodeSafe(safeFor(2))
	if err != nil {
		t.Fatal(err)
	}
	seal := func(b [SafeBytes]byte) []byte {
		binary.BigEndian.PutUint16(b[70:], CRC(b[:70]))
		return b[:]
	}
	for _, c := range []struct {
		at   int
		to   byte
		want string
	}{
		{0, 0x52, "mark 0x52"}, {1, 1, "version 1"}, {2, 0, "0 registers"}, {2, 9, "9 registers"}, {2, 1, "register 2, which the module does not have"},
		{9, 1, "shared wire 0x01"}, {9, 0x89, "from input 1 as input 1"}, {9, 0xC1, "shared wire 0xc1"}, {10, 0, "on count of in1"}, {25, 0, "off count of in8"}, {28, 1, "register 3"}, {57, 1, "register 8"},
	} {
		b := good
		b[c.at] = c.to
		if _, err := DecodeSafe(seal(b)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("byte %d = %02x: %v, expected %q", c.at, c.to, err, c.want)
		}
		if c.at > 0 { // the check alone must find it, too
			if _, err := DecodeSafe(b[:]); err == nil || !strings.Contains(err.Error(), "wrong check") {
				t.Errorf("byte %d = %02x without a new check: %v", c.at, c.to, err)
			}
		}
	}
	for _, n := range []int{0, 71, 73} {
		if _, err := DecodeSafe(make([]byte, n)); err == nil {
			t.Errorf("%d bytes are taken for a safe block", n)
		}
	}
	if _, err := DecodeSafe(seal(good)); err != nil {
		t.Errorf("an unchanged block is refused: %v", err)
	}
}

// A core that finds a block with the right check but an impossible head passes on to the next copy.
func TestChooseSafe(t *testing.T) {
	good, err := EncodeSafe(safeFor(3))
	if err != nil {
		t.Fatal(err)
	}
	wrong := func(at int, to byte) []byte {
		b := good
		b[at] = to
		binary.BigEndian.PutUint16(b[70:], CRC(b[:70]))
		return b[:]
	}
	for name, a := range map[string][]byte{
		"mark": wrong(0, 1), "version": wrong(1, 0), "no registers": wrong(2, 0), "nine registers": wrong(2, 9), "missing": nil, "short": good[:71], "erased": []byte(strings.Repeat("\xff", 72)),
	} {
		if got := chooseSafe(a, good[:]); got != *safeFor(3) {
			t.Errorf("%s: copy B was not taken, but %+v", name, got)
		}
		if got := chooseSafe(a, a); got != LastResort() {
			t.Errorf("%s in both: not the last resort, but %+v", name, got)
		}
	}
	if got := chooseSafe(good[:], wrong(3, 1)); got != *safeFor(3) {
		t.Errorf("copy A is right and was not taken: %+v", got)
	}
}
