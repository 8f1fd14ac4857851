package compile

import (
	"math"
	"strings"

	"lampwright/kit"
	"lampwright/program"
)

const (
	// turnKeepMS is how long a turn signal keeps its groups dark after a flash, so that what lies below does not show between
	// two flashes: longer than the longest legal off-time, 700 ms, which is 60 flashes a minute with 30 % on. Source: flasher
	// figure of FMVSS 108 (Figure 2), SAE J590 and J945 (Figure 1): 60 to 120 a minute, 30 to 75 % on, as quoted from memory.
	turnKeepMS = 800.0

	// stopWindowMS is the time within which a stop signal that returns skips its arrive routine. Common practice, no source.
	stopWindowMS = 3000.0
)

func isTurn(l *kit.Layer) bool {
	return !l.Show && (l.Flasher || strings.HasPrefix(l.Input.Road, "turn-"))
}

// keepMS gives how long a layer keeps its groups dark after it went, ms. below tells whether a layer below shares a group.
func keepMS(l *kit.Layer, below bool) float64 {
	switch {
	case l.KeepsMS != nil:
		return *l.KeepsMS
	case isTurn(l) && below:
		return turnKeepMS
	}
	return 0
}

// windowMS gives a layer's repeat window, ms.
func windowMS(l *kit.Layer) float64 {
	switch {
	case l.WindowMS != nil:
		return *l.WindowMS
	case !l.Show && l.Input.Road == "stop" && l.Arrive != nil:
		return stopWindowMS
	}
	return 0
}

// frames gives whole frames, not less than a time in ms.
func frames(ms float64) uint16 {
	return uint16(min(math.Ceil(ms/program.FrameMS), math.MaxUint16))
}

// limitUnits gives whole units of 256 ms, not more than a time in ms but at least one; 0 stays 0.
func limitUnits(ms float64) uint16 {
	if ms <= 0 {
		return 0
	}
	return uint16(min(max(ms/(program.LimitUnitFrames*program.FrameMS), 1), math.MaxUint16))
}
