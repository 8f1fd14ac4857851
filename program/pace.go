package program

// The pace's figures, in refreshes of 0.5 ms; docs/engine.md, section 5.
const (
	paceRing     = 12   // on-times remembered
	paceNewest   = 4    // of these, the ones that can show a trend
	paceTrendMin = 6    // on-times before a trend is looked for
	paceShortest = 240  // 120 ms
	paceLongest  = 1800 // 900 ms
	paceDefault  = 260  // 130 ms, inside the shortest legal on-time of 150 ms
	paceDelay    = 10   // from the sample behind a snapshot to its light, and a little more
	paceAgree    = 3    // odd on-times that make a new rate
	maxRate      = 32767
)

// clock measures the on-time of one input, a refresh at a time.
type clock struct {
	mask    uint8 // the input, one bit
	on, off uint8 // filter counts of that input
	running bool  // the input turned on under our eyes and is on
	fresh   bool  // done has not been collected
	age     uint16
	done    uint16
}

// step counts one refresh, in which the flipped inputs changed to state.
func (c *clock) step(state, flipped uint8) {
	switch {
	case flipped&c.mask == 0:
		c.hold(1)
	case state&c.mask != 0:
		c.age, c.running = uint16(c.on)-1, true
	case c.running:
		c.done = uint16(max(int(c.age)+2-int(c.off), 0))
		c.fresh, c.running = true, false
	}
}

// hold lets refreshes pass in which the input keeps its state.
func (c *clock) hold(refreshes int) {
	if c.running {
		c.age = uint16(min(int(c.age)+refreshes, 65535))
	}
}

// memory is what a pacer has learnt of its flasher.
type memory struct {
	held uint8            // what the EEPROM holds, units of keptUnit refreshes; 0: nothing valid
	ring [paceRing]uint16 // on-times, oldest first
	odd  uint16           // the last on-time that did not fit
	n    uint8            // on-times in the ring
	oddN uint8            // how many in a row agreed with odd
}

func mean(t []uint16) uint16 {
	var sum uint16 // paceRing * paceLongest fits
	for _, v := range t {
		sum += v
	}
	return sum / uint16(len(t))
}

func apart(a, b uint16) uint16 { return max(a, b) - min(a, b) }

// learn takes the on-time of one flash, in refreshes, and tells whether it counts.
func (m *memory) learn(t uint16) bool {
	if t < paceShortest || t > paceLongest || m.isOdd(t) {
		return false
	}
	m.oddN = 0
	if m.n == paceRing {
		m.forget(1)
	}
	m.ring[m.n] = t
	if m.n++; m.n >= paceTrendMin {
		m.followTrend()
	}
	return true
}

// followTrend keeps only the newest when they all lie to one side of the others.
func (m *memory) followTrend() {
	before := m.n - paceNewest
	usual := mean(m.ring[:before])
	e := usual / 32
	less, more := 0, 0
	for _, v := range m.ring[before:m.n] {
		if v < usual-e {
			less++
		}
		if v > usual+e {
			more++
		}
	}
	if less == paceNewest || more == paceNewest {
		m.forget(before)
	}
}

// isOdd tells whether an on-time does not fit and must be kept out; three that agree are a new rate.
func (m *memory) isOdd(t uint16) bool {
	if m.n == 0 {
		return false
	}
	if usual := mean(m.ring[:m.n]); apart(t, usual) <= usual/8 {
		return false
	}
	if m.oddN > 0 && apart(t, m.odd) <= m.odd/8 {
		m.oddN++
	} else {
		m.odd, m.oddN = t, 1
	}
	if m.oddN < paceAgree {
		return true
	}
	m.n = 0
	return false
}

// forget drops the k oldest.
func (m *memory) forget(k uint8) {
	copy(m.ring[:], m.ring[k:m.n])
	m.n -= k
}

// target is the on-time to expect, in refreshes: the least of the ring. One that is short by itself is left out, once
// enough are known: it was a lever let go early.
func (m *memory) target() uint16 {
	switch {
	case m.n == 0 && m.held != 0:
		return uint16(m.held) * keptUnit
	case m.n == 0:
		return paceDefault
	}
	least, second := uint16(65535), uint16(65535)
	for _, t := range m.ring[:m.n] {
		if t < least {
			least, second = t, least
		} else if t < second {
			second = t
		}
	}
	if m.n >= paceTrendMin && second-least > least/32 {
		return second
	}
	return least
}

// rate gives the player's rate for an arrive routine of some ticks, when the input has been on for age refreshes.
func (m *memory) rate(age, ticks uint16) uint16 {
	k := uint32(max((int(m.target())-int(age)-paceDelay)/RefreshesPerFrame, 1)) // frames
	return uint16(min((uint32(ticks)*rateOne+k-1)/k, maxRate))
}
