package program

import "encoding/binary"

// crcTable holds one step of the check for each byte: polynomial 1021, most significant bit first.
var crcTable = func() (t [256]uint16) {
	const polynomial = 0x1021
	for i := range t {
		c := uint16(i) << 8
		for range 8 {
			if c&0x8000 != 0 {
				c = c<<1 ^ polynomial
			} else {
				c <<= 1
			}
		}
		t[i] = c
	}
	return t
}()

// CRC gives the check of the image and of the safe block: CRC-16 with polynomial 1021, initial FFFF, no reflection, no
// final exclusive-or. Over data followed by their own check, high byte first, it is 0. (Own code: the standard library
// has no CRC-16, and the firmware's loop is the same.)
func CRC(data []byte) uint16 {
	c := uint16(0xFFFF)
	for _, b := range data {
		c = c<<8 ^ crcTable[byte(c>>8)^b]
	}
	return c
}

// appendCRC adds the check of all of data to its end.
func appendCRC(data []byte) []byte {
	return binary.BigEndian.AppendUint16(data, CRC(data))
}
