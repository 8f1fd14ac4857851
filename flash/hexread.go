package flash

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Segment is a run of bytes without a gap. Addr is a byte address.
type Segment struct {
	Addr uint32
	Data []byte
}

// End is the byte address after the last byte.
func (s Segment) End() uint32 { return s.Addr + uint32(len(s.Data)) }

// Memory is the content of a HEX file: segments sorted by address, neither touching nor overlapping.
type Memory []Segment

// Flat gives the bytes from address 0 to the last one used, gaps Blank. It fails when a byte lies at or beyond limit.
func (m Memory) Flat(limit int) ([]byte, error) {
	if len(m) == 0 {
		return nil, nil
	}
	end := m[len(m)-1].End()
	if int64(end) > int64(limit) {
		return nil, fmt.Errorf("the file places bytes up to address 0x%X, but the memory ends at 0x%X; it is meant for another controller", end-1, limit)
	}
	out := blank(int(end))
	for _, s := range m {
		copy(out[s.Addr:], s.Data)
	}
	return out, nil
}

// Fault is one thing wrong with a HEX file. Line and Column count from 1; a column is a byte of its line.
type Fault struct {
	Line, Column int
	Text         string // what is wrong and what was expected
}

// Faults are all things found wrong with one HEX file, in the order of the file.
type Faults []Fault

func (f Faults) Error() string {
	lines := make([]string, 0, len(f)+1)
	for _, x := range f {
		lines = append(lines, fmt.Sprintf("line %d, column %d: %s", x.Line, x.Column, x.Text))
	}
	return strings.Join(append(lines, "the HEX file is damaged or cut short: export or copy it again"), "\n")
}

// Limits of a HEX file that is worth reading.
const (
	hexFileBytes = 4 << 20 // 4 MiB of text: over forty times what a full 32 KiB flash needs
	faultsListed = 20      // a file that is not HEX at all would list a fault a line
)

// ReadHEX reads an Intel HEX file: record length, digits, checksum and kind of every record are checked, no byte may be
// given twice, the end record must be there and last. Line ends may be LF or CR LF, digits of either case.
//
// The error is of type Faults and lists up to twenty faults with line and column.
func ReadHEX(text []byte) (Memory, error) {
	r := hexReader{}
	if len(text) > hexFileBytes {
		r.fault(1, 1, "the file is %d bytes long; a HEX file for this controller is under 100 kB, and over %d bytes are not read", len(text), hexFileBytes)
		return nil, r.faults
	}
	line := 0
	for len(text) > 0 && len(r.faults) < faultsListed {
		var row []byte
		row, text, _ = bytes.Cut(text, []byte("\n"))
		line++
		row = bytes.TrimSuffix(row, []byte("\r"))
		if len(bytes.TrimSpace(row)) == 0 {
			continue
		}
		r.record(line, row)
	}
	if !r.ended && len(r.faults) == 0 {
		r.fault(max(line, 1), 1, "the end record (:00000001FF) is missing")
	}
	memory := r.merge()
	if len(r.faults) > 0 {
		return nil, r.faults
	}
	return memory, nil
}

type hexReader struct {
	base   uint32 // added to the 16-bit address of each data record
	wraps  bool   // within a 64 KiB segment, addresses wrap around
	ended  bool
	pieces []piece
	faults Faults
}

type piece struct {
	Segment
	line int
}

func (r *hexReader) fault(line, column int, format string, args ...any) {
	r.faults = append(r.faults, Fault{line, column, fmt.Sprintf(format, args...)})
}

func (r *hexReader) record(line int, row []byte) {
	if r.ended {
		r.fault(line, 1, "there is more text after the end record")
		return
	}
	if row[0] != ':' {
		r.fault(line, 1, "a record begins with ':', this line begins with %q", row[0])
		return
	}
	rec := make([]byte, 0, len(row)/2)
	for i := 1; i < len(row); i += 2 {
		hi, ok := digit(row[i])
		if !ok {
			r.fault(line, i+1, "%q is not a hexadecimal digit", row[i])
			return
		}
		if i+1 == len(row) {
			r.fault(line, i+1, "a digit is missing: the record has an odd number of digits")
			return
		}
		lo, ok := digit(row[i+1])
		if !ok {
			r.fault(line, i+2, "%q is not a hexadecimal digit", row[i+1])
			return
		}
		rec = append(rec, hi<<4|lo)
	}
	if len(rec) < 5 {
		r.fault(line, 1, "a record has at least 5 bytes (length, address, kind, checksum), this one has %d", len(rec))
		return
	}
	if int(rec[0]) != len(rec)-5 {
		r.fault(line, 2, "the record says %d data bytes and holds %d", rec[0], len(rec)-5)
		return
	}
	if want := checksum(rec[:len(rec)-1]); want != rec[len(rec)-1] {
		r.fault(line, len(row)-1, "the checksum is 0x%02X, the bytes give 0x%02X", rec[len(rec)-1], want)
		return
	}
	r.act(line, rec[3], uint32(rec[1])<<8|uint32(rec[2]), rec[4:len(rec)-1])
}

// act carries out one record whose form is right.
func (r *hexReader) act(line int, kind byte, addr uint32, data []byte) {
	wantLength := func(n int) bool {
		if len(data) != n {
			r.fault(line, 2, "a record of kind %02X has %d data bytes, this one has %d", kind, n, len(data))
		}
		return len(data) == n
	}
	switch kind {
	case recordData:
		if room := int64(0x10000) - int64(addr); r.wraps && int64(len(data)) > room {
			r.fault(line, 4, "the record runs over the end of its 64 KiB segment")
			return
		}
		if uint64(r.base)+uint64(addr)+uint64(len(data)) > 1<<32 {
			r.fault(line, 4, "the record runs over the end of the 32-bit addresses")
			return
		}
		if len(data) > 0 {
			r.pieces = append(r.pieces, piece{Segment{r.base + addr, data}, line})
		}
	case recordEnd:
		r.ended = wantLength(0)
	case recordSegment:
		if wantLength(2) {
			r.base, r.wraps = (uint32(data[0])<<8|uint32(data[1]))<<4, true
		}
	case recordExtendedLinear:
		if wantLength(2) {
			r.base, r.wraps = (uint32(data[0])<<8|uint32(data[1]))<<16, false
		}
	case recordStartSegment, recordStartLinear:
		wantLength(4)
	default:
		r.fault(line, 8, "record kind %02X is not known; the kinds are 00 to 05", kind)
	}
}

// merge sorts the data records and joins those that touch. A byte given twice is a fault of the later line.
func (r *hexReader) merge() Memory {
	slices.SortStableFunc(r.pieces, func(a, b piece) int { return cmp.Compare(a.Addr, b.Addr) })
	var m Memory
	lastLine := 0
	for _, p := range r.pieces {
		if n := len(m); n > 0 && p.Addr < m[n-1].End() {
			r.fault(max(p.line, lastLine), 4, "address 0x%04X is given twice, in lines %d and %d", p.Addr, min(p.line, lastLine), max(p.line, lastLine))
			return nil
		} else if n > 0 && p.Addr == m[n-1].End() {
			m[n-1].Data = append(m[n-1].Data, p.Data...)
		} else {
			m = append(m, Segment{p.Addr, slices.Clone(p.Data)})
		}
		lastLine = p.line
	}
	return m
}

func digit(c byte) (byte, bool) {
	switch {
	case c >= '0' && c <= '9':
		return c - '0', true
	case c >= 'A' && c <= 'F':
		return c - 'A' + 10, true
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10, true
	}
	return 0, false
}
