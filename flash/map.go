// Package flash turns a module's parts into the one file a programmer writes: the prebuilt core with its loader, the safe
// block in two copies and the program image, joined into one contiguous map and printed as Intel HEX.
//
// The map has no holes: what no part uses is 0xFF, the value of erased flash, so that a programmer, a simulated processor
// and a reader of the file all see the same bytes.
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
	CoreBytes = 0x1F80 // room for the core, the loader apart

	SafeAStart = 0x1F80 // first copy of the safe block, in a page of its own
	SafeBStart = 0x7780 // second copy, in another: power lost while one is written leaves the other
	SafeBytes  = 72

	ImageStart = 0x2000
	ImageBytes = 22_400 // room for the image: 0x2000..0x777F

	LoaderStart = 0x7800 // the core's loader, which writes all but itself and the core
	LoaderBytes = TotalBytes - LoaderStart
)

// Blank is the value of erased flash.
const Blank = 0xFF

// Join lays core, both copies of the safe block and image into one contiguous map that starts at address 0. core begins at
// address 0 too: its first CoreBytes, and, when it is so long, its loader from LoaderStart on, with nothing between. Unused
// bytes are Blank. The map ends with the loader, or without one at LoaderStart.
//
// It fails when core or image is empty or larger than its room, or when the core has bytes between; the error names the part,
// its size and the room in bytes.
func Join(core []byte, safe [SafeBytes]byte, image []byte) ([]byte, error) {
	const coreNext = "use the core that ships with this tool"
	low, loader := core[:min(len(core), LoaderStart)], core[min(len(core), LoaderStart):]
	if err := fits("core", used(low), CoreBytes, coreNext); err != nil {
		return nil, err
	}
	if len(loader) > LoaderBytes {
		return nil, fits("loader", loader, LoaderBytes, coreNext)
	}
	if err := fits("image", image, ImageBytes, "shorten or share routines until the image fits"); err != nil {
		return nil, err
	}
	out := append(blank(LoaderStart), loader...)
	copy(out[CoreStart:], low)
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

// used gives a part up to its last byte that is not Blank.
func used(part []byte) []byte {
	for len(part) > 0 && part[len(part)-1] == Blank {
		part = part[:len(part)-1]
	}
	return part
}

func blank(n int) []byte {
	out := make([]byte, n)
	for i := range out {
		out[i] = Blank
	}
	return out
}
