package program

// A shared wire is judged by its last shareWindow samples: As turns on at shareOn highs among them and off at shareOff.
// Source of the shares: common practice, no source: a mean below 40 % is tail, above 70 % is stop.
const (
	shareWindow = 20 // refreshes, 10 ms
	shareOn     = 15
	shareOff    = 10
)

// sharer steps the wire that carries two functions; docs/engine.md, section 3.
type sharer struct {
	used     bool
	from, as uint8
	on       bool
	highs    uint8
	history  uint32 // the last shareWindow samples, newest in bit 0
}

// step gives the raw inputs with the bit of the second function.
func (s *sharer) step(raw uint8) uint8 {
	high := uint32(raw>>s.from) & 1
	s.highs += uint8(high) - uint8(s.history>>(shareWindow-1)&1)
	s.history = (s.history<<1 | high) & (1<<shareWindow - 1)
	switch {
	case s.highs >= shareOn:
		s.on = true
	case s.highs <= shareOff:
		s.on = false
	}
	if s.on {
		return raw | 1<<s.as
	}
	return raw &^ (1 << s.as)
}
