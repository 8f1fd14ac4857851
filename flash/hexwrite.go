package flash

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"strings"
)

// recordBytes is the data length of one written record; 16 is what GNU objcopy writes.
const recordBytes = 16

// Kinds of record in the Intel HEX format (Intel, "Hexadecimal Object File Format Specification", revision A, 1988).
const (
	recordData           = 0x00
	recordEnd            = 0x01
	recordSegment        = 0x02 // bits 4..19 of the addresses that follow
	recordStartSegment   = 0x03 // a start address, of no meaning for flash
	recordExtendedLinear = 0x04 // bits 16..31 of the addresses that follow
	recordStartLinear    = 0x05 // a start address, of no meaning for flash
)

// HEX prints data, placed from byte address start, as Intel HEX: sixteen bytes a record, upper-case digits, CR LF line ends,
// one end record. The same bytes always give the same file, and the file equals that of `objcopy -O ihex`.
//
// It fails when the data reach beyond TotalBytes.
func HEX(start uint16, data []byte) ([]byte, error) {
	if int(start)+len(data) > TotalBytes {
		return nil, fmt.Errorf("%d bytes from address 0x%04X end at 0x%X, beyond the flash of %d bytes; place less, or lower",
			len(data), start, int(start)+len(data), TotalBytes)
	}
	var out bytes.Buffer
	for at := 0; at < len(data); at += recordBytes {
		writeRecord(&out, recordData, start+uint16(at), data[at:min(at+recordBytes, len(data))])
	}
	writeRecord(&out, recordEnd, 0, nil)
	return out.Bytes(), nil
}

func writeRecord(out *bytes.Buffer, kind byte, addr uint16, data []byte) {
	rec := append([]byte{byte(len(data)), byte(addr >> 8), byte(addr), kind}, data...)
	rec = append(rec, checksum(rec))
	out.WriteByte(':')
	out.WriteString(strings.ToUpper(hex.EncodeToString(rec)))
	out.WriteString("\r\n")
}

// checksum is the byte that makes the sum of a whole record zero modulo 256.
func checksum(rec []byte) byte {
	var sum byte
	for _, b := range rec {
		sum += b
	}
	return -sum
}
