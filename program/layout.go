package program

// The image's layout; docs/image-format.md, section 3.
const (
	imageVersion  = 2
	headerBytes   = 32
	layerBytes    = 32
	imageCRCBytes = 2
	minImageBytes = headerBytes + imageCRCBytes
)

// Offsets in the header, bytes.
const (
	atVersion   = 2
	atRole      = 3
	atLength    = 4
	atRegisters = 6
	atLayers    = 7
	atKit       = 8
	atLamp      = 12
	atSide      = 14
	atPacer     = 15
	atFades     = 17
	atOther     = 18
	atLow       = 20
	atWarm      = 21
	atHot       = 22
	atSleep     = 23
	atLive      = 24
	atUnused    = 25

	roleWalk      = 1
	roleLinkShift = 1
	roleLinkBits  = 3
	roleStrap     = 0x08
	roleTurnFed   = 0x10
	roleUnused    = 0xE0

	liveAllowed = 1
)

// Offsets in a layer entry, bytes.
const (
	entryFlags       = 0
	entryInputs      = 1
	entrySlots       = 2
	entryFade        = 3
	entryMap         = 4
	entryArrive      = 6
	entryStay        = 8
	entryLeave       = 10
	entryWindow      = 12
	entryKeep        = 14
	entryLimit       = 16
	entryArriveTicks = 18
	entryStayTicks   = 20
	entryTakes       = 22
	entryNotWhile    = 30
	entryOnlyWhile   = 31
)

// Flags of a layer.
const (
	flagShow = 1 << iota
	flagStill
	flagFast
	flagEnds
	flagLinked
	flagPaced
	flagPacer1
	flagUnused
)

// entryAt gives the offset of a layer's entry in the table behind the header at an offset.
func entryAt(head, layer int) int { return head + headerBytes + layerBytes*layer }

// takesOf gives the mask of a list of outputs: bit o is output o.
func takesOf(slots []uint8) (mask uint64) {
	for _, o := range slots {
		mask |= 1 << (o % MaxOutputs)
	}
	return mask
}
