package flash

import (
	"bytes"
	"strings"
	"testing"

	"lampwright/board"
	"lampwright/firmware"
	"lampwright/program"
)

// What ships holds the core to the byte, the safe block twice and the image, and nothing else.
func TestShip(t *testing.T) {
	safe := program.LastResort()
	block, err := program.EncodeSafe(&safe)
	if err != nil {
		t.Fatal(err)
	}
	image := []byte("image")
	var cores [][]byte
	for _, core := range []board.Core{board.CoreChain, board.CorePins} {
		text, err := Ship(core, &safe, image)
		if err != nil {
			t.Fatal(err)
		}
		memory, err := ReadHEX(text)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := memory.Flat(TotalBytes)
		if err != nil {
			t.Fatal(err)
		}
		prebuilt, err := ReadHEX(map[board.Core][]byte{board.CoreChain: firmware.Chain, board.CorePins: firmware.Pins}[core])
		if err != nil {
			t.Fatal(err)
		}
		for _, piece := range prebuilt {
			if !bytes.Equal(whole[piece.Addr:piece.End()], piece.Data) {
				t.Errorf("%s: the core's bytes from %#x on are not kept", core, piece.Addr)
			}
		}
		for _, part := range []struct {
			at   int
			want []byte
		}{{SafeAStart, block[:]}, {SafeBStart, block[:]}, {ImageStart, image}} {
			if got := whole[part.at:][:len(part.want)]; !bytes.Equal(got, part.want) {
				t.Errorf("%s: at %#x lies % x, want % x", core, part.at, got, part.want)
			}
		}
		if rest := used(whole[ImageStart+len(image) : SafeBStart]); len(rest) > 0 {
			t.Errorf("%s: % x lies behind the image", core, rest)
		}
		cores = append(cores, whole[:CoreBytes])
	}
	if bytes.Equal(cores[0], cores[1]) {
		t.Error("both boards got the same core")
	}
}

func TestShipRefuses(t *testing.T) {
	good, bad := program.LastResort(), program.LastResort()
	bad.Registers = 9
	for name, c := range map[string]struct {
		core  board.Core
		safe  *program.Safe
		image []byte
		want  string
	}{
		"core":  {"valve", &good, []byte{1}, `no core "valve"`},
		"safe":  {board.CoreChain, &bad, []byte{1}, "registers"},
		"empty": {board.CoreChain, &good, nil, "image is empty"},
		"large": {board.CorePins, &good, make([]byte, ImageBytes+1), "image is 22401 bytes"},
	} {
		if _, err := Ship(c.core, c.safe, c.image); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}
