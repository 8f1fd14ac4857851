// Package flash turns a module's parts into the one file a programmer writes: the prebuilt core, the safe block in two
// copies and the program image, joined into one contiguous map and printed as Intel HEX.
//
// The map has no holes: what no part uses is 0xFF, the value of erased flash, so that a programmer, a simulated processor
// and a reader of the file all see the same bytes. The last 2 KiB of the flash belong to a serial loader and are never
// written from here.
//
// Not promised: that the parts are good. The image and the safe block carry their own checks; this package places bytes and
// refuses what does not fit.
package flash

import "fmt"

// The flash map of the controller, in byte addresses and bytes.
const (
	TotalBytes = 0x8000 // flash of an ATmega328P (Microchip data sheet, "32 KB": 32 768 bytes)
	PageBytes  = 128    // one flash page of an ATmega328P (data sheet: page size 64 words)

	CoreStart = 0x0000
	CoreBytes = 0x1F80 // room for the core

	SafeAStart = 0x1F80 // first copy of the safe block
	SafeBStart = 0x1FC0 // second copy, so that one damaged page line does not take both
	SafeBytes  = 64

	ImageStart = 0x2000
	ImageBytes = 22528 // room for the image: 0x2000..0x77FF

	LoaderStart = 0x7800 // left for a serial loader, never written from here
	LoaderBytes = TotalBytes - LoaderStart
)

// Blank is the value of erased flash.
const Blank = 0xFF

// Join lays core, both copies of the safe block and image into one contiguous map that starts at address 0. Unused bytes
// are Blank. The map ends with the flash page that holds the last byte of the image; it never reaches LoaderStart.
//
// It fails when core or image is empty or larger than its room; the error names the part, its size and the room in bytes.
func Join(core []byte, safe [SafeBytes]byte, image []byte) ([]byte, error) {
	if err := fits("core", core, CoreBytes, "use the core that ships with this tool"); err != nil {
		return nil, err
	}
	if err := fits("image", image, ImageBytes, "shorten or share routines until the image fits"); err != nil {
		return nil, err
	}
	end := ImageStart + len(image)
	end = (end + PageBytes - 1) / PageBytes * PageBytes
	out := blank(end)
	copy(out[CoreStart:], core)
	copy(out[SafeAStart:], safe[:])
	copy(out[SafeBStart:], safe[:])
	copy(out[ImageStart:], image)
	return out, nil
}

// fits says why a part cannot be placed, or nothing.
func fits(name string, part []byte, room int, next string) error {
	switch {
	case len(part) == 0:
		return fmt.Errorf("the %s is empty: there is nothing to write into the module; %s", name, next)
	case len(part) > room:
		return fmt.Errorf("the %s is %d bytes, %d more than its room of %d bytes; %s", name, len(part), len(part)-room, room, next)
	}
	return nil
}

func blank(n int) []byte {
	out := make([]byte, n)
	for i := range out {
		out[i] = Blank
	}
	return out
}
