package photo

import (
	"bytes"
	"encoding/binary"
)

// Orientation says where the first row and the first column of a picture lie, as cameras note it. Source: CIPA DC-008 (Exif 2.32), tag 0x0112.
type Orientation int

const (
	topLeft     Orientation = 1 + iota // upright
	topRight                           // mirrored
	bottomRight                        // half a turn
	bottomLeft                         // mirrored, half a turn
	leftTop                            // mirrored, quarter turn
	rightTop                           // to be turned a quarter clockwise
	rightBottom                        // mirrored, the other quarter
	leftBottom                         // to be turned a quarter anticlockwise
)

// Upright gives the place of a pixel of the file in the upright picture, for a picture of this width and height in its file.
func (o Orientation) Upright(x, y, width, height float64) (float64, float64) {
	switch o {
	case topRight:
		return width - x, y
	case bottomRight:
		return width - x, height - y
	case bottomLeft:
		return x, height - y
	case leftTop:
		return y, x
	case rightTop:
		return height - y, x
	case rightBottom:
		return height - y, width - x
	case leftBottom:
		return y, width - x
	}
	return x, y
}

// orientationOf reads the tag out of a JPEG's Exif part; anything that is not there or not right is upright.
func orientationOf(data []byte) Orientation {
	const start, exif, scan = 0xD8, 0xE1, 0xDA
	if len(data) < 4 || data[0] != 0xFF || data[1] != start {
		return topLeft
	}
	for rest := data[2:]; len(rest) >= 4 && rest[0] == 0xFF && rest[1] != scan; {
		size := int(binary.BigEndian.Uint16(rest[2:]))
		if size < 2 || len(rest) < 2+size {
			break
		}
		if part := rest[4 : 2+size]; rest[1] == exif && bytes.HasPrefix(part, []byte("Exif\x00\x00")) {
			return tiffOrientation(part[6:])
		}
		rest = rest[2+size:]
	}
	return topLeft
}

func tiffOrientation(tiff []byte) Orientation {
	if len(tiff) < 8 {
		return topLeft
	}
	var order binary.ByteOrder = binary.BigEndian
	if tiff[0] == 'I' {
		order = binary.LittleEndian
	}
	at := int64(order.Uint32(tiff[4:]))
	if at < 8 || at+2 > int64(len(tiff)) {
		return topLeft
	}
	entries := int64(order.Uint16(tiff[at:]))
	for i := range entries {
		e := at + 2 + 12*i
		if e+12 > int64(len(tiff)) {
			break
		}
		if order.Uint16(tiff[e:]) == 0x0112 {
			if o := Orientation(order.Uint16(tiff[e+8:])); o >= topLeft && o <= leftBottom {
				return o
			}
			break
		}
	}
	return topLeft
}
