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
		{62, 1, "stop-and-turn wire 0x01 0x00"}, {63, 2, "stop-and-turn wire 0x00 0x02"}, {62, 0x89, "input 1, its reference on 1, its turn on 0"}, {64, 0x88, "input 0, its reference on 1, its turn on 0"},
		{64, 0xC8, "stop-and-turn wire 0xc8 0x00"}, {67, 2, "flags 0x02"}, {68, 1, "unused byte 0x01"}, {69, 9, "unused byte 0x09"},
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

// Two stop-and-turn wires, and a shared one, must not want the same input.
func TestStopTurnWiresApart(t *testing.T) {
	one := StopTurn{Used: true, Wire: 2, Reference: 1, Turn: 5}
	for _, c := range []struct {
		second StopTurn
		shared Shared
		want   string // empty: nothing is wrong
	}{
		{StopTurn{Used: true, Wire: 3, Reference: 1, Turn: 6}, Shared{Used: true, From: 0, As: 1}, ""},
		{StopTurn{Used: true, Wire: 3, Reference: 2, Turn: 6}, Shared{}, ""},
		{StopTurn{Used: true, Wire: 2, Reference: 1, Turn: 6}, Shared{}, "byte 64, safe block: stop-and-turn wire on input 2 with its turn on 6, beside one on 2, 1, 5"},
		{StopTurn{Used: true, Wire: 3, Reference: 1, Turn: 5}, Shared{}, "byte 64, safe block: stop-and-turn wire on input 3 with its turn on 5"},
		{StopTurn{Used: true, Wire: 3, Reference: 0, Turn: 1}, Shared{}, "byte 64, safe block: stop-and-turn wire on input 3 with its turn on 1"},
		{StopTurn{Used: true, Wire: 5, Reference: 0, Turn: 6}, Shared{}, "byte 62, safe block: stop-and-turn wire on input 2 with its turn on 5, beside one on 5"},
		{StopTurn{}, Shared{Used: true, From: 0, As: 5}, "the turn of a stop-and-turn wire on input 5, which a shared wire uses"},
		{StopTurn{}, Shared{Used: true, From: 5, As: 0}, "the turn of a stop-and-turn wire on input 5, which a shared wire uses"},
		{StopTurn{Used: true, Wire: 8, Reference: 0, Turn: 6}, Shared{}, "three different inputs of 0..7"},
	} {
		s := safeFor(2)
		s.StopTurn, s.Shared = [2]StopTurn{one, c.second}, c.shared
		block, err := EncodeSafe(s)
		if c.want == "" {
			if err != nil {
				t.Errorf("%+v: %v", c.second, err)
			} else if back, err := DecodeSafe(block[:]); err != nil || *back != *s {
				t.Errorf("%+v reads back as %+v, %v", s, back, err)
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Count(err.Error(), "\n") > 0 {
			t.Errorf("%+v, %+v: %v, expected only %q", c.second, c.shared, err, c.want)
		}
	}
}
