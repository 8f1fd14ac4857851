package program

import (
	"encoding/binary"
	"fmt"
)

// Arrange gives each layer that moves its place among the module's fades: one after the other, in order of priority. The
// other hand has the fades for itself.
func (p *Program) Arrange() {
	if p.Other != nil {
		p.Other.Arrange()
	}
	next := 0
	for i := range p.Layers {
		l := &p.Layers[i]
		if l.Still != nil {
			l.FirstFade = 0
			continue
		}
		l.FirstFade = next
		next += len(l.Slots)
	}
}

// Encode gives the image of a program. Equal programs give equal bytes: fades are arranged, slot maps, still tables and
// routines follow in the order of the layers, and equal ones are stored once. It fails with Faults, and never makes an
// image that Decode refuses.
func Encode(p *Program) ([]byte, error) {
	q := interned(p)
	q.Arrange()
	if fs := check(q, entryAt(0, len(q.Layers)), nil); len(fs) > 0 {
		return nil, fs.result()
	}
	data := laid(q)
	if size := len(data) + imageCRCBytes; size > MaxImageBytes {
		var fs Faults
		fs.add(atLength, "header", nextShorten, fmt.Sprint(MaxImageBytes, " bytes"), "an image of %d bytes", size)
		return nil, fs
	}
	return appendCRC(data), nil
}

// ImageBytes is the size that a program's image has, or would have if a module could hold it.
func (p *Program) ImageBytes() int { return len(laid(interned(p))) + imageCRCBytes }

// laid gives the bytes of an image but for its check. Routines with equal code must be one.
func laid(q *Program) []byte {
	e := encoder{placed: map[string]int{}, routines: map[*Routine]int{}}
	heads := []int{0}
	hands := []*Program{q}
	end := entryAt(0, len(q.Layers))
	if q.Other != nil {
		heads, hands = append(heads, end), append(hands, q.Other)
		end = entryAt(end, len(q.Other.Layers))
	}
	e.data = make([]byte, end)
	for i, p := range hands {
		e.header(heads[i], p)
		for k := range p.Layers {
			e.layer(entryAt(heads[i], k), &p.Layers[k])
		}
	}
	if q.Other != nil {
		binary.LittleEndian.PutUint16(e.data[atOther:], uint16(heads[1]))
	}
	for _, at := range heads {
		binary.LittleEndian.PutUint16(e.data[at+atLength:], uint16(len(e.data)+imageCRCBytes))
	}
	return e.data
}

// code tells routines apart.
type code struct {
	bytes string
	ticks int
	loops bool
}

// interned copies a program, and its other hand, so that routines with equal code are one; the layers are free to be arranged.
func interned(p *Program) *Program { return internedWith(p, map[code]*Routine{}) }

func internedWith(p *Program, known map[code]*Routine) *Program {
	q := *p
	q.Layers = append([]Layer(nil), p.Layers...)
	if p.Other != nil {
		q.Other = internedWith(p.Other, known)
	}
	for i := range q.Layers {
		l := &q.Layers[i]
		for _, r := range []**Routine{&l.Arrive, &l.Stay, &l.Leave} {
			if *r == nil {
				continue
			}
			k := code{string((*r).Code), (*r).Ticks, (*r).Loops}
			if known[k] == nil {
				known[k] = *r
			}
			*r = known[k]
		}
	}
	return &q
}

// encoder holds the image so far and where its pieces lie.
type encoder struct {
	data     []byte
	placed   map[string]int // offset of a slot map or still table, by kind and content
	routines map[*Routine]int
}

func (e *encoder) header(at int, p *Program) {
	h := e.data[at : at+headerBytes]
	h[0], h[1], h[atVersion] = 'L', 'W', imageVersion
	h[atRole] = byte(p.Link)<<roleLinkShift | when(p.Walk, roleWalk) | when(p.SideByStrap, roleStrap) | when(p.TurnFed, roleTurnFed)
	h[atLow], h[atWarm], h[atHot], h[atSleep] = p.Low, p.Warm, p.Hot, p.SleepAfter
	h[atLive] = when(p.Live, liveAllowed)
	h[atRegisters], h[atLayers] = byte(p.Registers), byte(len(p.Layers))
	binary.LittleEndian.PutUint32(h[atKit:], p.Kit)
	binary.LittleEndian.PutUint16(h[atLamp:], p.Lamp)
	h[atSide] = byte(p.Side)
	copy(h[atPacer:], p.PacerInput[:])
	for i := range p.Layers {
		if l := &p.Layers[i]; l.Still == nil {
			h[atFades] = max(h[atFades], byte(l.FirstFade+len(l.Slots)))
		}
	}
}

// when gives the bits of something that is set.
func when(set bool, bits byte) byte {
	if set {
		return bits
	}
	return 0
}

// layer fills the entry at an offset, and places what it points to.
func (e *encoder) layer(at int, l *Layer) {
	slots := e.table("m", l.Slots)
	stay := 0
	if l.Still != nil {
		stay = e.table("s", l.Still)
	}
	arrive, arriveTicks := e.routine(l.Arrive)
	moves, stayTicks := e.routine(l.Stay)
	leave, _ := e.routine(l.Leave)

	b := e.data[at:]
	b[entryNotWhile], b[entryOnlyWhile] = l.NotWhile, l.OnlyWhile
	b[entryFlags] = flags(l)
	b[entryInputs], b[entrySlots], b[entryFade] = l.InputMask, byte(len(l.Slots)), byte(l.FirstFade)
	for at, v := range map[int]int{
		entryMap: slots, entryArrive: arrive, entryStay: stay | moves, entryLeave: leave,
		entryWindow: int(l.Window), entryKeep: int(l.Keep), entryLimit: int(l.Limit),
		entryArriveTicks: arriveTicks, entryStayTicks: stayTicks,
	} {
		binary.LittleEndian.PutUint16(b[at:], uint16(v))
	}
	binary.LittleEndian.PutUint64(b[entryTakes:], takesOf(l.Slots))
}

func flags(l *Layer) byte {
	return when(l.Show, flagShow) | when(l.Still != nil, flagStill) | when(l.Fast, flagFast) | when(l.Ends, flagEnds) |
		when(l.Linked, flagLinked) | when(l.Pace >= 0, flagPaced) | when(l.Pace == 1, flagPacer1)
}

// table places bytes, or finds equal ones of the same kind.
func (e *encoder) table(kind string, b []byte) int {
	at, ok := e.placed[kind+string(b)]
	if !ok {
		at = len(e.data)
		e.placed[kind+string(b)] = at
		e.data = append(e.data, b...)
	}
	return at
}

// routine places a routine once; it gives offset 0 for none, and the ticks.
func (e *encoder) routine(r *Routine) (at, ticks int) {
	if r == nil {
		return 0, 0
	}
	at, ok := e.routines[r]
	if !ok {
		at = len(e.data)
		e.routines[r] = at
		e.data = append(e.data, r.Code...)
	}
	return at, r.Ticks
}
