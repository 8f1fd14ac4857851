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
	d := decoder{data: image[:len(image)-imageCRCBytes], routines: map[int]*Routine{}, bases: map[*Routine]int{}}
	hands := []*hand{{p: &Program{}}}
	d.header(hands[0])
	if at := d.u16(atOther); at != 0 && len(d.fs) == 0 {
		if other := d.other(at); other != nil {
			hands = append(hands, other)
			hands[0].p.Other = other.p
		}
	}
	if len(d.fs) == 0 {
		for _, h := range hands {
			for i := range h.layers {
				d.layer(h, i)
			}
		}
	}
	readable := len(d.fs) == 0
	if d.fs = append(d.fs, d.doubts...); readable {
		d.gaps()
		d.fs = append(d.fs, check(hands[0].p, hands[len(hands)-1].at, d.bases)...)
		for _, h := range hands {
			d.fades(h)
		}
	}
	if err := d.fs.result(); err != nil {
		return nil, err
	}
	return hands[0].p, nil
}

// sound judges what makes the rest worth reading: size, mark, version, check.
func sound(image []byte) (fs Faults) {
	switch {
	case len(image) < minImageBytes || len(image) > MaxImageBytes:
		fs.add(0, "image", nextReread, fmt.Sprintf("%d..%d bytes", minImageBytes, MaxImageBytes), "%d bytes", len(image))
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

// piece is a run of bytes that a layer points to, or the other hand's header with its layer table.
type piece struct {
	at, n int
	head  bool
}

// hand is one of the programs of an image.
type hand struct {
	p      *Program
	at     int    // offset of its header
	of     string // what follows the names of its parts
	layers int
}

type decoder struct {
	data     []byte // without the check
	fs       Faults // that leave a layer unread: what else is wrong would follow from them
	doubts   Faults // that do not
	pieces   []piece
	routines map[int]*Routine // by offset
	bases    map[*Routine]int
}

func (d *decoder) u16(at int) int { return int(binary.LittleEndian.Uint16(d.data[at:])) }

// other begins to read the other hand, or gives nil when there is none to be read.
func (d *decoder) other(at int) *hand {
	h := &hand{p: &Program{}, at: at, of: ofOther}
	if at < d.tables() || at+headerBytes > len(d.data) {
		d.fs.add(atOther, "header", nextCompile, "within the image, after its layer table", "another hand at byte %d", at)
		return nil
	}
	if b := d.data[at:]; b[0] != 'L' || b[1] != 'W' || b[atVersion] != imageVersion || d.u16(at+atLength) != d.u16(atLength) || d.u16(at+atOther) != 0 {
		d.fs.add(at, "header"+ofOther, nextCompile, "'L' 'W', version 2, the length of the image, and no further hand", "begins % x", b[:6])
		return nil
	}
	d.header(h)
	d.pieces = append(d.pieces, piece{at, headerBytes + layerBytes*h.layers, true})
	return h
}

// tables gives the offset behind the first layer table, where all that layers point to may begin.
func (d *decoder) tables() int { return entryAt(0, int(d.data[atLayers])) }

// header reads the header of a hand.
func (d *decoder) header(to *hand) {
	h, p, where := d.data[to.at:], to.p, "header"+to.of
	p.Walk = h[atRole]&roleWalk != 0
	p.Link = LinkRole(h[atRole] >> roleLinkShift & roleLinkBits)
	p.SideByStrap, p.TurnFed = h[atRole]&roleStrap != 0, h[atRole]&roleTurnFed != 0
	p.Registers = int(h[atRegisters])
	p.Kit = binary.LittleEndian.Uint32(h[atKit:])
	p.Lamp = binary.LittleEndian.Uint16(h[atLamp:])
	p.Side = Side(h[atSide])
	p.PacerInput = [MaxPacers]uint8(h[atPacer:])
	p.Low, p.Warm, p.Hot, p.SleepAfter = h[atLow], h[atWarm], h[atHot], h[atSleep]
	p.Live = h[atLive]&liveAllowed != 0
	if h[atRole]&roleUnused != 0 {
		d.fs.add(to.at+atRole, where, nextCompile, "bits 0..4", "role 0x%02x", h[atRole])
	}
	if h[atLive]&^liveAllowed != 0 {
		d.fs.add(to.at+atLive, where, nextCompile, "bit 0", "live mode 0x%02x", h[atLive])
	}
	for at := atUnused; at < headerBytes; at++ {
		if h[at] != 0 {
			d.fs.add(to.at+at, where, nextCompile, "0", "unused byte 0x%02x", h[at])
		}
	}
	to.layers = int(h[atLayers])
	if to.layers > MaxLayers {
		d.fs.add(to.at+atLayers, where, nextCompile, "12", "%d layers", to.layers)
	} else if entryAt(to.at, to.layers) > len(d.data) {
		d.fs.add(to.at+atLayers, where, nextCompile, "a layer table within the image", "%d layers in an image of %d bytes", to.layers, len(d.data)+imageCRCBytes)
	}
}

func (d *decoder) layer(h *hand, i int) {
	at := entryAt(h.at, i)
	e := d.data[at : at+layerBytes]
	where := fmt.Sprintf("layer %d%s", i+1, h.of)
	f := e[entryFlags]
	l := Layer{
		Show: f&flagShow != 0, Fast: f&flagFast != 0, Ends: f&flagEnds != 0, Linked: f&flagLinked != 0,
		Pace: -1, InputMask: e[entryInputs], NotWhile: e[entryNotWhile], OnlyWhile: e[entryOnlyWhile], FirstFade: int(e[entryFade]),
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
	h.p.Layers = append(h.p.Layers, l)
}

// table reads n bytes that the offset at a place points to. It never gives nil.
func (d *decoder) table(at, n int, where string) []byte {
	from := d.u16(at)
	if from < d.tables() || from+n > len(d.data) {
		d.fs.add(at, where, nextCompile, "within the image, after its layer table", "%d bytes from byte %d", n, from)
		return []byte{}
	}
	d.pieces = append(d.pieces, piece{at: from, n: n})
	return slices.Clone(d.data[from : from+n])
}

// routine reads the routine that the offset at a place points to, or gives nil for none. Ticks of −1 are not stated, and
// are taken from the code.
func (d *decoder) routine(at int, where string, ticks int) *Routine {
	from := d.u16(at)
	if from == 0 {
		return nil
	}
	if from < d.tables() || from >= len(d.data) {
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
		d.pieces = append(d.pieces, piece{at: from, n: n})
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
func (d *decoder) gaps() {
	slices.SortStableFunc(d.pieces, func(a, b piece) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.n, b.n)) })
	at := d.tables()
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
func (d *decoder) fades(h *hand) {
	used := 0
	for i := range h.p.Layers {
		if l := &h.p.Layers[i]; l.Still == nil {
			used = max(used, l.FirstFade+len(l.Slots))
		}
	}
	if stated := d.data[h.at+atFades]; int(stated) != used {
		d.fs.add(h.at+atFades, "header"+h.of, nextCompile, fmt.Sprint(used), "%d fades", stated)
	}
}
