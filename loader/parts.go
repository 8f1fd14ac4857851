package loader

import (
	"bytes"
	"encoding/binary"
	"fmt"

	"lampwright/flash"
	"lampwright/program"
)

// flat gives the bytes of a HEX file from address 0 on, Blank to the end of the flash.
func flat(hex []byte) ([]byte, error) {
	memory, err := flash.ReadHEX(hex)
	if err != nil {
		return nil, err
	}
	some, err := memory.Flat(flash.TotalBytes)
	if err != nil {
		return nil, err
	}
	return append(some, bytes.Repeat([]byte{flash.Blank}, flash.TotalBytes-len(some))...), nil
}

// Parts gives what the serial line writes of a HEX file: the safe block and the image.
func Parts(hex []byte) (safe, image []byte, err error) {
	whole, err := flat(hex)
	if err != nil {
		return nil, nil, err
	}
	image = whole[flash.ImageStart:flash.SafeBStart]
	length := int(binary.LittleEndian.Uint16(image[4:]))
	if !bytes.HasPrefix(image, imageWord) || length > len(image) {
		return nil, nil, fmt.Errorf("the HEX file holds no image")
	}
	return whole[flash.SafeAStart:][:program.SafeBytes], image[:length], nil
}

// WithoutLoader takes our loader out of a HEX file: a loader of another make that writes the file sits in its place. The core then
// finds that its own is missing and lets the serial line be.
func WithoutLoader(hex []byte) ([]byte, error) {
	whole, err := flat(hex)
	if err != nil {
		return nil, err
	}
	return flash.HEX(0, bytes.TrimRight(whole[:flash.LoaderStart], "\xff"))
}
