package program

// The image's layout; docs/image-format.md, section 3.
const (
	imageVersion  = 1
	headerBytes   = 20
	layerBytes    = 30
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
	atUnused    = 18

	roleWalk      = 1
	roleLinkShift = 1
	roleLinkBits  = 3
	roleUnused    = 0xF8
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

// entryAt gives the offset of a layer's entry.
func entryAt(layer int) int { return headerBytes + layerBytes*layer }

// takesOf gives the mask of a list of outputs: bit o is output o.
func takesOf(slots []uint8) (mask uint64) {
	for _, o := range slots {
		mask |= 1 << (o % MaxOutputs)
	}
	return mask
}
