package loader

import "encoding/binary"

// Commands of the serial line; docs/loading.md, section 1.
const (
	commandRead  = 0x01
	commandEnter = 0x02
	commandLive  = 0x03
	commandPage  = 0x04
	commandLeave = 0x05

	answerBit = 0x80 // added to the command in an answer
)

const (
	packetMark  = 0xA5
	packetExtra = 5   // bytes of a packet beside its payload: mark, command, length, check
	payloadMost = 134 // bytes
	readMost    = 64  // bytes of flash in one answer
	keyBytes    = 6   // kit number and lamp number
)

// packet wraps a payload of at most payloadMost bytes.
func packet(command byte, payload ...byte) []byte {
	p := append([]byte{packetMark, command, byte(len(payload))}, payload...)
	return binary.BigEndian.AppendUint16(p, packetCheck(p[1:]))
}

// find looks for the first whole and right packet with that command in what was received, whatever stands around it.
func find(received []byte, command byte) (payload []byte, ok bool) {
	for ; len(received) >= packetExtra; received = received[1:] {
		if received[0] != packetMark || received[1] != command {
			continue
		}
		end := packetExtra + int(received[2])
		if end <= len(received) && packetCheck(received[1:end]) == 0 {
			return received[3 : end-2], true
		}
	}
	return nil, false
}
