package program

import "encoding/binary"

// layerPlan is a layer entry as a core reads it.
type layerPlan struct {
	traits              Traits
	fast, moving        bool
	linked, paced       bool
	pacer, inputs       uint8
	notWhile, onlyWhile uint8
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
	code    []byte // the whole image: offsets of routines count from its start
	walk    bool
	turnFed bool
	live    bool // live mode is allowed
	role    LinkRole
	pacers  [MaxPacers]uint8
	limits  limits
	sleep   uint16 // frames of idle time before sleep, 0: never
	layers  []layerPlan
}

// accept does what a core does with the flash behind the safe block: it gives the plan, or nil when the image is refused,
// and the number of the job in which the check ends. It asks only for what no later step could do without; Decode is the
// strict judge. Flash past the end of image counts as erased.
func accept(image []byte, registers int, strap Side) (*plan, int) {
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
	at := ruling(flash, strap)
	if at < 0 {
		return nil, 0
	}
	h := flash[at : at+headerBytes]
	p := &plan{
		code: flash, walk: h[atRole]&roleWalk != 0, turnFed: h[atRole]&roleTurnFed != 0, live: h[atLive]&liveAllowed != 0,
		role:   LinkRole(h[atRole] >> roleLinkShift & roleLinkBits),
		pacers: [MaxPacers]uint8(h[atPacer:]),
		limits: limits{low: h[atLow], warm: h[atWarm], hot: h[atHot]},
		sleep:  uint16(h[atSleep]) * SleepUnitFrames,
	}
	layers := int(h[atLayers])
	if layers > MaxLayers || entryAt(at, layers) > length-imageCRCBytes || p.role > Follower || p.walk && layers > 0 {
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
		if !p.layer(i, entryAt(at, i), &player) {
			return nil, 0
		}
	}
	checked := (length - 1) / checkBytesPerJob
	if CRC(flash) != 0 {
		return nil, checked
	}
	return p, checked
}

// ruling gives the offset of the header that the side strap chooses, or −1 when the image is not for this plug.
func ruling(flash []byte, strap Side) int {
	switch {
	case flash[atRole]&roleStrap == 0:
		return 0
	case strap == Centre:
		return -1
	case Side(flash[atSide]) == strap:
		return 0
	}
	at := int(binary.LittleEndian.Uint16(flash[atOther:]))
	if at+headerBytes > len(flash)-imageCRCBytes {
		return -1
	}
	h := flash[at : at+headerBytes]
	if h[0] != 'L' || h[1] != 'W' || h[atVersion] != imageVersion || h[atRegisters] != flash[atRegisters] || h[atRole]&roleStrap == 0 || Side(h[atSide]) != strap {
		return -1
	}
	return at
}

// layer reads the entry at an offset; player counts the layers that move.
func (p *plan) layer(i, at int, player *int) bool {
	e := p.code[at : at+layerBytes]
	u16 := func(at int) uint16 { return binary.LittleEndian.Uint16(e[at:]) }
	inside := func(at uint16, n int) bool { return int(at)+n <= len(p.code)-imageCRCBytes }
	f, n := e[entryFlags], int(e[entrySlots])
	l := &p.layers[i]
	*l = layerPlan{
		traits: Traits{Arrive: u16(entryArrive) != 0, Leave: u16(entryLeave) != 0, Keep: u16(entryKeep) != 0, Ends: f&flagEnds != 0, Show: f&flagShow != 0},
		fast:   f&flagFast != 0, moving: f&flagStill == 0, paced: f&flagPaced != 0,
		linked: f&flagLinked != 0 && f&flagStill == 0 && u16(entryStayTicks) >= linkMinTicks,
		pacer:  f & flagPacer1 / flagPacer1, inputs: e[entryInputs], notWhile: e[entryNotWhile], onlyWhile: e[entryOnlyWhile],
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
