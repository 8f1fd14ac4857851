package program

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"slices"
)

// Decode reads an image and refuses every one that a module could not run as stated, with all its reasons (Faults). It
// never panics, and its work is bounded by the image's size and by the budget of the walk through its routines.
func Decode(image []byte) (*Program, error) {
	var fs Faults
	if fs = sound(image); len(fs) > 0 {
		return nil, fs.result()
	}
	d := decoder{data: image[:len(image)-imageCRCBytes], p: &Program{}, routines: map[int]*Routine{}, bases: map[*Routine]int{}}
	layers := d.header()
	if len(d.fs) == 0 {
		for i := range layers {
			d.layer(i)
		}
	}
	readable := len(d.fs) == 0
	if d.fs = append(d.fs, d.doubts...); readable {
		d.gaps(layers)
		d.fs = append(d.fs, check(d.p, d.bases)...)
		d.fades()
	}
	if err := d.fs.result(); err != nil {
		return nil, err
	}
	return d.p, nil
}

// sound judges what makes the rest worth reading: size, mark, version, check.
func sound(image []byte) (fs Faults) {
	switch {
	case len(image) < minImageBytes || len(image) > MaxImageBytes:
		fs.add(0, "image", nextReread, "22..22528 bytes", "%d bytes", len(image))
	case image[0] != 'L' || image[1] != 'W':
		fs.add(0, "header", nextReread, "'L' 'W'", "mark %q", image[:2])
	case image[atVersion] != imageVersion:
		fs.add(atVersion, "header", nextCompile, fmt.Sprint(imageVersion), "version %d", image[atVersion])
	case int(binary.LittleEndian.Uint16(image[atLength:])) != len(image):
		fs.add(atLength, "header", nextReread, fmt.Sprintf("%d, the bytes at hand", len(image)), "stated length %d", binary.LittleEndian.Uint16(image[atLength:]))
	case CRC(image) != 0:
		at := len(image) - imageCRCBytes
		fs.add(at, "check", nextReread, fmt.Sprintf("0x%04x", CRC(image[:at])), "wrong check 0x%04x", binary.BigEndian.Uint16(image[at:]))
	}
	return fs
}

// piece is a run of bytes that a layer points to.
type piece struct{ at, n int }

type decoder struct {
	data     []byte // without the check
	p        *Program
	fs       Faults // that leave a layer unread: what else is wrong would follow from them
	doubts   Faults // that do not
	pieces   []piece
	routines map[int]*Routine // by offset
	bases    map[*Routine]int
}

func (d *decoder) u16(at int) int { return int(binary.LittleEndian.Uint16(d.data[at:])) }

// header reads the header and gives the number of layers.
func (d *decoder) header() int {
	h, p := d.data, d.p
	p.Walk = h[atRole]&roleWalk != 0
	p.Link = LinkRole(h[atRole] >> roleLinkShift & roleLinkBits)
	p.Registers = int(h[atRegisters])
	p.Kit = binary.LittleEndian.Uint32(h[atKit:])
	p.Lamp = binary.LittleEndian.Uint16(h[atLamp:])
	p.Side = Side(h[atSide])
	p.PacerInput = [MaxPacers]uint8(h[atPacer:])
	if h[atRole]&roleUnused != 0 {
		d.fs.add(atRole, "header", nextCompile, "bits 0..2", "role 0x%02x", h[atRole])
	}
	for at := atUnused; at < headerBytes; at++ {
		if h[at] != 0 {
			d.fs.add(at, "header", nextCompile, "0", "unused byte 0x%02x", h[at])
		}
	}
	layers := int(h[atLayers])
	if layers > MaxLayers {
		d.fs.add(atLayers, "header", nextCompile, "12", "%d layers", layers)
	} else if entryAt(layers) > len(d.data) {
		d.fs.add(atLayers, "header", nextCompile, "a layer table within the image", "%d layers in an image of %d bytes", layers, len(d.data)+imageCRCBytes)
	}
	return layers
}

func (d *decoder) layer(i int) {
	at := entryAt(i)
	e := d.data[at : at+layerBytes]
	where := fmt.Sprintf("layer %d", i+1)
	f := e[entryFlags]
	l := Layer{
		Show: f&flagShow != 0, Fast: f&flagFast != 0, Ends: f&flagEnds != 0, Linked: f&flagLinked != 0,
		Pace: -1, InputMask: e[entryInputs], FirstFade: int(e[entryFade]),
		Window: uint16(d.u16(at + entryWindow)), Keep: uint16(d.u16(at + entryKeep)), Limit: uint16(d.u16(at + entryLimit)),
	}
	if f&flagPaced != 0 {
		l.Pace = int(f & flagPacer1 / flagPacer1)
	} else if f&flagPacer1 != 0 {
		d.doubts.add(at+entryFlags, where, nextCompile, "only with the flasher's pace", "a pacer number")
	}
	if f&flagUnused != 0 {
		d.doubts.add(at+entryFlags, where, nextCompile, "bits 0..6", "flags 0x%02x", f)
	}
	n := int(e[entrySlots])
	if n < 1 || n > MaxOutputs {
		d.fs.add(at+entrySlots, where, nextCompile, limitSlots, "%d slots", n)
		return
	}
	l.Slots = d.table(at+entryMap, n, where+", slot map")
	arriveTicks, stayTicks := d.u16(at+entryArriveTicks), d.u16(at+entryStayTicks)
	l.Arrive = d.routine(at+entryArrive, where+", arrive routine", arriveTicks)
	l.Leave = d.routine(at+entryLeave, where+", leave routine", -1)
	if f&flagStill != 0 {
		l.Still = d.table(at+entryStay, n, where+", still table")
		if stayTicks != 0 {
			d.doubts.add(at+entryStayTicks, where, nextCompile, "0 for a still layer", "%d ticks of stay", stayTicks)
		}
	} else {
		l.Stay = d.routine(at+entryStay, where+", stay routine", stayTicks)
	}
	if l.Arrive == nil && arriveTicks != 0 {
		d.doubts.add(at+entryArriveTicks, where, nextCompile, "0 without an arrive routine", "%d ticks of arrive", arriveTicks)
	}
	if takes := binary.LittleEndian.Uint64(e[entryTakes:]); takes != takesOf(l.Slots) {
		d.doubts.add(at+entryTakes, where, nextCompile, fmt.Sprintf("the outputs of the slot map, %016x", takesOf(l.Slots)), "takes %016x", takes)
	}
	d.p.Layers = append(d.p.Layers, l)
}

// table reads n bytes that the offset at a place points to. It never gives nil.
func (d *decoder) table(at, n int, where string) []byte {
	from := d.u16(at)
	if from < entryAt(int(d.data[atLayers])) || from+n > len(d.data) {
		d.fs.add(at, where, nextCompile, "within the image, after its layer table", "%d bytes from byte %d", n, from)
		return []byte{}
	}
	d.pieces = append(d.pieces, piece{from, n})
	return slices.Clone(d.data[from : from+n])
}

// routine reads the routine that the offset at a place points to, or gives nil for none. Ticks of −1 are not stated, and
// are taken from the code.
func (d *decoder) routine(at int, where string, ticks int) *Routine {
	from := d.u16(at)
	if from == 0 {
		return nil
	}
	if from < entryAt(int(d.data[atLayers])) || from >= len(d.data) {
		d.fs.add(at, where, nextCompile, "within the image, after its layer table", "a routine at byte %d", from)
		return nil
	}
	r := d.routines[from]
	if r == nil {
		n, f := routineBytes(d.data[from:])
		if f != nil {
			d.fs.add(from+f.at, where, nextCompile, f.limit, "%s", f.what)
			return nil
		}
		d.pieces = append(d.pieces, piece{from, n})
		r = &Routine{Code: slices.Clone(d.data[from : from+n]), Loops: d.data[from+n-1] == opAgain, Ticks: -1}
		d.routines[from], d.bases[r] = r, from
	}
	if ticks < 0 && r.Ticks < 0 {
		return r
	}
	if ticks >= 0 && r.Ticks >= 0 && ticks != r.Ticks {
		d.doubts.add(at, where, nextCompile, fmt.Sprintf("%d ticks, as another layer states", r.Ticks), "%d ticks", ticks)
	}
	r.Ticks = max(r.Ticks, ticks)
	return r
}

// gaps refuses pieces that overlap without being the same, and bytes that belong to none.
func (d *decoder) gaps(layers int) {
	slices.SortFunc(d.pieces, func(a, b piece) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.n, b.n)) })
	at := entryAt(layers)
	for _, s := range slices.Compact(d.pieces) {
		if s.at > at {
			d.fs.add(at, "image", nextCompile, "none", "%d bytes that belong to nothing", s.at-at)
		} else if s.at < at {
			d.fs.add(s.at, "image", nextCompile, "only equal tables are shared", "a table that overlaps another by %d bytes", at-s.at)
		}
		at = max(at, s.at+s.n)
	}
	if at < len(d.data) {
		d.fs.add(at, "image", nextCompile, "none", "%d bytes that belong to nothing", len(d.data)-at)
	}
}

// fades checks the stated number of fades.
func (d *decoder) fades() {
	used := 0
	for i := range d.p.Layers {
		if l := &d.p.Layers[i]; l.Still == nil {
			used = max(used, l.FirstFade+len(l.Slots))
		}
	}
	if int(d.data[atFades]) != used {
		d.fs.add(atFades, "header", nextCompile, fmt.Sprint(used), "%d fades", d.data[atFades])
	}
}
