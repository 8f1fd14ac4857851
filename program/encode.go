package program

import "encoding/binary"

// Arrange gives each layer that moves its place among the module's fades: one after the other, in order of priority.
func (p *Program) Arrange() {
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
	if fs := check(q, nil); len(fs) > 0 {
		return nil, fs.result()
	}
	data := laid(q)
	if size := len(data) + imageCRCBytes; size > MaxImageBytes {
		var fs Faults
		fs.add(atLength, "header", nextShorten, "22528 bytes", "an image of %d bytes", size)
		return nil, fs
	}
	binary.LittleEndian.PutUint16(data[atLength:], uint16(len(data)+imageCRCBytes))
	return appendCRC(data), nil
}

// ImageBytes is the size that a program's image has, or would have if a module could hold it.
func (p *Program) ImageBytes() int { return len(laid(interned(p))) + imageCRCBytes }

// laid gives the bytes of an image but for its length and its check. Routines with equal code must be one.
func laid(q *Program) []byte {
	e := encoder{data: make([]byte, entryAt(len(q.Layers))), placed: map[string]int{}, routines: map[*Routine]int{}}
	e.header(q)
	for i := range q.Layers {
		e.layer(i, &q.Layers[i])
	}
	return e.data
}

// interned copies a program so that routines with equal code are one; the layers are free to be arranged.
func interned(p *Program) *Program {
	q := *p
	q.Layers = append([]Layer(nil), p.Layers...)
	type key struct {
		code  string
		ticks int
		loops bool
	}
	known := map[key]*Routine{}
	for i := range q.Layers {
		l := &q.Layers[i]
		for _, r := range []**Routine{&l.Arrive, &l.Stay, &l.Leave} {
			if *r == nil {
				continue
			}
			k := key{string((*r).Code), (*r).Ticks, (*r).Loops}
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

func (e *encoder) header(p *Program) {
	h := e.data
	h[0], h[1], h[atVersion] = 'L', 'W', imageVersion
	h[atRole] = byte(p.Link) << roleLinkShift
	if p.Walk {
		h[atRole] |= roleWalk
	}
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

func (e *encoder) layer(i int, l *Layer) {
	slots := e.table("m", l.Slots)
	stay := 0
	if l.Still != nil {
		stay = e.table("s", l.Still)
	}
	arrive, arriveTicks := e.routine(l.Arrive)
	moves, stayTicks := e.routine(l.Stay)
	leave, _ := e.routine(l.Leave)

	b := e.data[entryAt(i):]
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

func flags(l *Layer) (f byte) {
	for bit, set := range map[byte]bool{
		flagShow: l.Show, flagStill: l.Still != nil, flagFast: l.Fast, flagEnds: l.Ends, flagLinked: l.Linked,
		flagPaced: l.Pace >= 0, flagPacer1: l.Pace == 1,
	} {
		if set {
			f |= bit
		}
	}
	return f
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
