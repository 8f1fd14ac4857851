package proof

import "lampwright/program"

// Packets on the serial line: docs/loading.md, section 1.
const (
	packetMark  = 0xA5
	packetHead  = 3 // mark, command, length of the payload
	packetCheck = 2
	packetMax   = 134 // bytes of payload
	packetGap   = 8   // refreshes without a byte: what was begun is dropped
	commandLive = 3
)

// LivePacket is the packet that streams levels, one for each of 8 outputs a register.
func LivePacket(levels []byte) []byte {
	body := append([]byte{commandLive, byte(len(levels))}, levels...)
	check := program.CRC(body)
	return append(append([]byte{packetMark}, body...), byte(check>>8), byte(check))
}

// listener finds streamed frames in what a core takes from its serial line.
type listener struct {
	levels int    // of a frame
	packet []byte // begun
	taken  bool   // its payload is a frame of a module that runs
	quiet  int    // refreshes since the last byte
	mixed  int    // refreshes for which the shown picture may mix two frames
	broken bool   // a frame broke off: the core may have taken a part of it
}

// refresh takes the bytes of one refresh and gives the levels of a frame that became whole; nil: none did. A frame counts only if the image
// runs already when its length comes.
func (l *listener) refresh(heard []Heard, runs func() bool) (levels []byte) {
	if l.quiet++; l.quiet > packetGap {
		l.packet = nil
	}
	l.mixed = max(l.mixed-1, 0)
	for _, h := range heard {
		l.quiet = 0
		if h.Broken {
			l.packet = nil
		} else if frame := l.byte(h.Byte, runs); frame != nil {
			levels = frame
		}
	}
	return levels
}

func (l *listener) byte(b byte, runs func() bool) (levels []byte) {
	if len(l.packet) == 0 && b != packetMark {
		return nil
	}
	l.packet = append(l.packet, b)
	n := len(l.packet)
	if n < packetHead {
		return nil
	}
	size := int(l.packet[packetHead-1])
	if size > packetMax {
		l.packet = nil
		return nil
	}
	live := l.packet[1] == commandLive && size == l.levels
	if n == packetHead {
		l.taken = live && runs()
	}
	if live = live && l.taken; live && n > packetHead {
		l.broken = true
		l.mixed = 3 * program.RefreshesPerFrame
	}
	if n < packetHead+size+packetCheck {
		return nil
	}
	body := l.packet[1:]
	l.packet = nil
	if !live || program.CRC(body) != 0 {
		return nil
	}
	l.broken = false
	return body[packetHead-1 : len(body)-packetCheck]
}

// mixes tells whether what is shown may mix the levels of two frames.
func (l *listener) mixes() bool { return l.broken || l.mixed > 0 }
