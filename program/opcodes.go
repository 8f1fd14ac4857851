package program

// Operations of routine code; docs/image-format.md, section 4.
const (
	opFade     = 0x00 // 0x00..0x3F, level: fade slot (op + X) to level in F ticks
	opWait     = 0x40 // 0x41..0x7F: wait op - 0x40 ticks; 0x40, b: wait 64 + b ticks
	opOver     = 0x80 // 0x80..0xBE: F := op - 0x80 ticks
	opOverLong = 0xBF // 0xBF, b: F := b ticks
	opEnd      = 0xC0
	opAgain    = 0xC1
	opSpan     = 0xC2 // s, n, level: slots s+X ... s+X+n-1 to level in F ticks
	opLoop     = 0xC3 // n, k: n passes, X grows by k after each
	opClose    = 0xC4

	longWaitBase = 64                 // ticks of the shortest long wait
	maxWait      = longWaitBase + 255 // ticks of the longest wait of one operation
	maxShortOver = opOverLong - opOver - 1
	maxFadeSlot  = opWait - 1 // highest slot that one fade operation names
	maxSpan      = MaxOutputs // slots of one span
)

// opLength gives the bytes of an operation that begins with op, or 0 when there is none.
func opLength(op byte) int {
	switch {
	case op < opWait:
		return 2
	case op == opWait:
		return 2
	case op < opOverLong:
		return 1
	case op == opOverLong:
		return 2
	case op == opEnd, op == opAgain, op == opClose:
		return 1
	case op == opSpan:
		return 4
	case op == opLoop:
		return 3
	}
	return 0
}
