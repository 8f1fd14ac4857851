package loader

import (
	"bytes"
	"testing"

	"lampwright/board"
	"lampwright/firmware"
	"lampwright/flash"
)

func TestWithoutLoader(t *testing.T) {
	whole := bytes.Repeat([]byte{flash.Blank}, flash.TotalBytes)
	copy(whole, "core")
	copy(whole[flash.SafeBStart:], "the last of what is ours")
	copy(whole[flash.LoaderStart:], "loader")
	hex, err := flash.HEX(0, whole)
	if err != nil {
		t.Fatal(err)
	}
	cut, err := WithoutLoader(hex)
	if err != nil {
		t.Fatal(err)
	}
	memory, err := flash.ReadHEX(cut)
	if err != nil {
		t.Fatal(err)
	}
	got, err := memory.Flat(flash.TotalBytes)
	if want := whole[:flash.SafeBStart+len("the last of what is ours")]; err != nil || !bytes.Equal(got, want) {
		t.Errorf("%v: %d bytes, not %d", err, len(got), len(want))
	}
	if _, err := WithoutLoader([]byte("no HEX")); err == nil {
		t.Error("no error")
	}
}

func TestParts(t *testing.T) {
	want := rearLH(t)
	m := old(t)
	copy(m.Flash[flash.ImageStart:], want.Image)
	copy(m.Flash[flash.SafeAStart:], want.Safe)
	hex, err := flash.HEX(0, m.Flash[:])
	if err != nil {
		t.Fatal(err)
	}
	safe, image, err := Parts(hex)
	if err != nil || !bytes.Equal(safe, want.Safe) || !bytes.Equal(image, want.Image) {
		t.Errorf("%v: %x, image of %d bytes", err, safe, len(image))
	}
	m.Flash[flash.ImageStart] = 0
	hex, _ = flash.HEX(0, m.Flash[:])
	if _, _, err := Parts(hex); err == nil {
		t.Error("no error without an image")
	}
}

// The cores that ship say themselves what this tool takes them for.
func TestShippedCores(t *testing.T) {
	for core, hex := range map[board.Core][]byte{board.CoreChain: firmware.Chain, board.CorePins: firmware.Pins} {
		held, err := flat(hex)
		if err != nil {
			t.Fatal(err)
		}
		if id, err := identify(from(held)); err != nil || id.Core == nil || *id.Core != (Mark{coreVersion, core}) {
			t.Errorf("%s: %v, mark %+v", core, err, id.Core)
		}
		if !ContentsOf(held).CoreShipped {
			t.Errorf("%s is not taken for a core that ships", core)
		}
	}
}
