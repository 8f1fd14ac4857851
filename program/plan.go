package program

import "encoding/binary"

// layerPlan is a layer entry as a core reads it.
type layerPlan struct {
	traits              Traits
	show, fast, moving  bool
	linked, paced       bool
	pacer, inputs       uint8
	outs                []uint8 // output of each slot
	table               []uint8 // levels of a still layer
	firstFade, player   int
	takes               uint64
	covers              uint64 // the outputs of the slot map; a damaged image may state other takes
	arrive, stay, leave uint16 // offsets of routines
	window, keep, limit uint16
	arriveTicks         uint16
	stayTicks           uint16
}

// plan is an image that a core has accepted. It is never changed, so copies of an engine share it.
type plan struct {
	code   []byte // the whole image: offsets of routines count from its start
	walk   bool
	role   LinkRole
	pacers [MaxPacers]uint8
	layers []layerPlan
}

// accept does what a core does with the flash behind the safe block: it gives the plan and the number of the job in which
// the check ends, or nil when the image is refused. It asks only for what no later step could do without; Decode is the
// strict judge. Flash past the end of image counts as erased.
func accept(image []byte, registers int) (*plan, int) {
	if len(image) < minImageBytes || image[0] != 'L' || image[1] != 'W' || image[atVersion] != imageVersion {
		return nil, 0
	}
	length := int(binary.LittleEndian.Uint16(image[atLength:]))
	if length < minImageBytes || length > MaxImageBytes || int(image[atRegisters]) != registers {
		return nil, 0
	}
	flash := make([]byte, length)
	for i := copy(flash, image); i < length; i++ {
		flash[i] = 0xFF
	}
	p := &plan{
		code: flash, walk: flash[atRole]&roleWalk != 0,
		role:   LinkRole(flash[atRole] >> roleLinkShift & roleLinkBits),
		pacers: [MaxPacers]uint8(flash[atPacer:]),
	}
	layers := int(flash[atLayers])
	if layers > MaxLayers || entryAt(layers) > length-imageCRCBytes || p.role > Follower || p.walk && layers > 0 {
		return nil, 0
	}
	for _, m := range p.pacers {
		if m&(m-1) != 0 {
			return nil, 0
		}
	}
	p.layers = make([]layerPlan, layers)
	player := 0
	for i := range p.layers {
		if !p.layer(i, &player) {
			return nil, 0
		}
	}
	if CRC(flash) != 0 {
		return nil, 0
	}
	return p, (length - 1) / checkBytesPerJob
}

// layer reads an entry; player counts the layers that move.
func (p *plan) layer(i int, player *int) bool {
	e := p.code[entryAt(i) : entryAt(i)+layerBytes]
	u16 := func(at int) uint16 { return binary.LittleEndian.Uint16(e[at:]) }
	inside := func(at uint16, n int) bool { return int(at)+n <= len(p.code)-imageCRCBytes }
	f, n := e[entryFlags], int(e[entrySlots])
	l := &p.layers[i]
	*l = layerPlan{
		traits: Traits{Arrive: u16(entryArrive) != 0, Leave: u16(entryLeave) != 0, Keep: u16(entryKeep) != 0, Ends: f&flagEnds != 0},
		show:   f&flagShow != 0, fast: f&flagFast != 0, moving: f&flagStill == 0, paced: f&flagPaced != 0,
		linked: f&flagLinked != 0 && f&flagStill == 0 && u16(entryStayTicks) >= linkMinTicks,
		pacer:  f & flagPacer1 / flagPacer1, inputs: e[entryInputs],
		firstFade: int(e[entryFade]), takes: binary.LittleEndian.Uint64(e[entryTakes:]),
		arrive: u16(entryArrive), stay: u16(entryStay), leave: u16(entryLeave),
		window: u16(entryWindow), keep: u16(entryKeep), limit: u16(entryLimit),
		arriveTicks: u16(entryArriveTicks), stayTicks: u16(entryStayTicks),
	}
	if n < 1 || n > MaxOutputs || !inside(u16(entryMap), n) {
		return false
	}
	l.outs = make([]uint8, n)
	for s, o := range p.code[u16(entryMap):][:n] {
		l.outs[s] = o % MaxOutputs
	}
	l.covers = takesOf(l.outs)
	if l.moving {
		l.player = *player
		*player++
		return *player <= MaxMoving && l.firstFade+n <= MaxFades
	}
	if !inside(l.stay, n) {
		return false
	}
	l.table = p.code[l.stay:][:n]
	return true
}
