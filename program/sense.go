package program

// The hysteresis of the conditions, in codes, and the code up to which a heat sensor counts as shorted; docs/engine.md,
// section 3.1.
const (
	supplySlack = 4
	heatSlack   = 6
	heatShorted = 3
)

// limits are the codes at which an image's conditions begin; 0: never.
type limits struct{ low, warm, hot uint8 }

// sensing turns the codes of the two pins into conditions.
type sensing struct {
	pins   Codes
	code   uint8 // what the next snapshot holds
	primed bool  // a snapshot began the conversion under way; until then it is the one of the start

	over, low, warm, hot bool
}

// set sets the codes at the pins.
func (c *sensing) set(pins Codes) {
	c.pins = pins
	if !c.primed {
		c.code = pins.Supply
	}
}

// convert gives the code of the snapshot of a job, and begins the conversion for the next: the supply's for even ones.
func (c *sensing) convert(frame uint16) (code uint8) {
	code, c.primed = c.code, true
	if c.code = c.pins.Heat; frame%2 == 1 {
		c.code = c.pins.Supply
	}
	return code
}

// judge steps the conditions. Those of an image stay off until it runs: l is nil so long.
func (c *sensing) judge(frame uint16, code, over uint8, l *limits) {
	if frame%2 == 0 {
		c.over = step(c.over, over, code >= over, code < over-min(over, supplySlack))
	}
	if l == nil {
		return
	}
	if frame%2 == 0 {
		c.low = step(c.low, l.low, code < l.low, code >= plus(l.low, supplySlack))
		return
	}
	c.warm = step(c.warm, l.warm, code <= l.warm, code > plus(l.warm, heatSlack))
	c.hot = step(c.hot, l.hot, code <= l.hot && code > heatShorted, code > plus(l.hot, heatSlack) || code <= heatShorted)
}

// step gives a condition after a code that begins it, ends it, or does neither.
func step(on bool, limit uint8, begins, ends bool) bool {
	return limit != 0 && (begins || on && !ends)
}

// plus adds without wrapping.
func plus(code, slack uint8) uint8 { return code + min(slack, 255-code) }
