package program

import "fmt"

// Coder writes the code of a routine, operation by operation. It keeps the first mistake for End or Again.
type Coder struct {
	code []byte
	err  error
}

func (c *Coder) put(b ...byte) { c.code = append(c.code, b...) }

// within notes a mistake when v lies outside low..high, and says whether it lies inside.
func (c *Coder) within(what string, v, low, high int) bool {
	if (v < low || v > high) && c.err == nil {
		c.err = fmt.Errorf("byte %d of the routine: %s %d (allowed: %d..%d); correct the writer", len(c.code), what, v, low, high)
	}
	return v >= low && v <= high
}

// Over sets the time, 0..255 ticks, that the following fades take; 0 is at once.
func (c *Coder) Over(ticks int) {
	switch {
	case !c.within("a fade time of", ticks, 0, 255):
	case ticks <= maxShortOver:
		c.put(byte(opOver + ticks))
	default:
		c.put(opOverLong, byte(ticks))
	}
}

// Fade sends one slot, 0..63 plus the shift of the loops around it, to a level.
func (c *Coder) Fade(slot int, level uint8) {
	if c.within("a fade of slot", slot, 0, maxFadeSlot) {
		c.put(byte(slot), level)
	}
}

// Span sends n slots, 1..64, from slot first (0..255) on to a level.
func (c *Coder) Span(first, n int, level uint8) {
	if c.within("a span from slot", first, 0, 255) && c.within("a span of slots", n, 1, maxSpan) {
		c.put(opSpan, byte(first), byte(n), level)
	}
}

// Wait lets ticks pass, 0 or more, in as few operations as it takes.
func (c *Coder) Wait(ticks int) {
	if !c.within("a wait of", ticks, 0, MaxTicks) {
		return
	}
	for ; ticks > maxWait; ticks -= maxWait {
		c.put(opWait, maxWait-longWaitBase)
	}
	switch {
	case ticks >= longWaitBase:
		c.put(opWait, byte(ticks-longWaitBase))
	case ticks > 0:
		c.put(byte(opWait + ticks))
	}
}

// Loop begins n passes, 2..255, over the operations up to Close; after each, the slots are shift (−128..127) further on.
func (c *Coder) Loop(n, shift int) {
	if c.within("a loop of passes", n, 2, 255) && c.within("a shift of", shift, -128, 127) {
		c.put(opLoop, byte(n), byte(shift))
	}
}

// Close ends the innermost loop.
func (c *Coder) Close() { c.put(opClose) }

// End gives the routine, which ends here: the levels stay. It fails when a player could not run it.
func (c *Coder) End() (*Routine, error) { return c.finish(opEnd) }

// Again gives the routine, which begins again here, in the same tick. It fails when a player could not run it.
func (c *Coder) Again() (*Routine, error) { return c.finish(opAgain) }

func (c *Coder) finish(op byte) (*Routine, error) {
	if c.put(op); c.err != nil {
		return nil, c.err
	}
	return NewRoutine(c.code)
}

// NewRoutine makes a routine of code, its last operation included, and counts its ticks. It fails when a player could not
// run it to its end.
func NewRoutine(code []byte) (*Routine, error) {
	budget := MaxPassOps
	w, f := walk(code, &budget)
	if f != nil {
		return nil, fmt.Errorf("byte %d of the routine: %s (allowed: %s); correct the writer", f.at, f.what, f.limit)
	}
	return &Routine{Ticks: w.ticks, Loops: w.loops, Code: code}, nil
}
