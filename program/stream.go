package program

// streamFrames is how long live mode outlasts the last streamed frame: a quarter of a second.
const streamFrames = 63

// stream holds the levels of live mode; docs/engine.md, section 9.
type stream struct {
	came    bool // a frame arrived since the last snapshot
	heard   bool // something arrived since the last snapshot
	levels  [MaxOutputs]uint8
	held    [MaxOutputs]uint8
	left    uint8 // frames
	running bool  // live mode lasts in this frame
}

// Stream lets a live frame arrive within the refresh now shown. It is a right one when it has a level for each of the
// 8·registers outputs; another one is heard and passed over.
func (e *Engine) Stream(levels []uint8) {
	e.stream.heard = true
	if len(levels) == 8*e.safe.Registers {
		e.stream.came = true
		copy(e.stream.levels[:], levels)
	}
}

// step begins, goes on with or ends live mode, and tells whether the levels must be painted anew.
func (s *stream) step(came bool) (changed bool) {
	if came {
		s.left, s.held = streamFrames, s.levels
	}
	was := s.running
	if s.running = s.left > 0; s.running {
		s.left--
	}
	return came || s.running != was
}
