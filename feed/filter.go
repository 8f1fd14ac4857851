package feed

import (
	"fmt"

	"lampwright/report"
	"lampwright/units"
)

// Filter is how the module decides that an input is on. Counts are refreshes of 0.5 ms. Each refresh, of an input with state s,
// count c and lows l:
//
//	high:          l = 0
//	high, s off:   c += 1; at c = On: s on, c = 0
//	low, s off:    l += 1; if l > Gap: c = 0
//	high, s on:    c = 0
//	low, s on:     c += 1; at c = Off: s off, c = 0, l = 0
//
// So Off lows in a row turn it off, and On highs turn it on between which never more than Gap lows stand in a row.
type Filter struct {
	On, Gap, Off uint8
}

// Steps and end of Gap, refreshes.
const (
	GapStep = 4
	GapMost = 60
)

// String gives the counts.
func (x Filter) String() string {
	return fmt.Sprintf("on %d, gap %d, off %d refreshes of 0.5 ms", x.On, x.Gap, x.Off)
}

// Delay is how much later the filtered input changes than the wire was switched, at the worst phase and clock. On is counted
// from the switching of the wire, whether or not its first pulse is high by then; both hold bounce. Light follows within one
// refresh and the time of the display.
type Delay struct {
	On, Off units.Time
}

// practice is the filter of a wire that does nothing odd, by the road function of the input. Common practice: contacts bounce
// for up to 5 ms. Reasons:
//
//	stop     on 7 (3.5 ms): light without delay, yet longer than test pulses of 2.5 ms;
//	         off 16 (8 ms): outlasts bounce and the gaps of a chopped wire of 100 Hz and more
//	turn     on 4 (2 ms) and off 10 (5 ms): a flasher's contact; the difference is taken out of the measured on-time
//	tail ... on 10 (5 ms), off 16 (8 ms): no hurry
//	shows    on and off 20 (10 ms): relays of a remote bounce longest, and nothing waits for them
func practice(road string) (on, off int) {
	switch road {
	case "stop":
		return 7, 16
	case "turn-lh", "turn-rh":
		return 4, 10
	case "tail", "reverse", "drl", "fog":
		return 10, 16
	}
	return showCount, showCount
}

const (
	showCount = 20 // refreshes, on and off
	leastOn   = 2  // refreshes: one sample alone never turns an input on
	leastOff  = 4  // refreshes: a wire that a control unit drives does not bounce, but its edges are not sharp
)

// Times within which an input answers, ns. The stop lamp is at full light within 5 ms: the rest goes to the refresh in which the
// light changes, and a margin. A filter is made to answer within stopOnNS where it may; eight highs, which test pulses of 3 ms need,
// are still in time.
const (
	stopOnNS   = 4_000_000
	stopLateNS = 4_100_000
	answerOnNS = 30_000_000
	releaseNS  = 30_000_000
)

const ownTarget = "target of this program: full stop light within 5 ms; release to dark, and any other light, within 30 ms"

// FilterFor derives the filter of an input from its feed: the smallest counts that are one sample longer than what the wire can do
// without meaning it, never below practice unless the feed says so. road is the road function of the input ("stop", "turn-lh",
// "turn-rh", "tail", "reverse", "drl", "fog"; any other: a show). A wire whose on and off look alike is refused with a stop-work
// finding, and then filter and delay are zero. Findings have no place. An unfit feed gives the list of Check.
func FilterFor(f Feed, road string) (Filter, Delay, report.List) {
	if list := f.Check(); list.HasErrors() {
		return Filter{}, Delay{}, list
	}
	d := derivation{feed: f, road: road}
	d.on, d.off = practice(road)
	d.derive()
	if d.list.HasErrors() {
		return Filter{}, Delay{}, d.list
	}
	return Filter{On: uint8(d.on), Gap: uint8(d.gap), Off: uint8(d.off)}, d.delay(), d.list
}

// derivation is a filter in the making.
type derivation struct {
	feed         Feed
	road         string
	on, gap, off int
	pulsed       bool
	cycle        cycle
	list         report.List
}

func (d *derivation) derive() {
	if p, pulsed := d.feed.Pulsed(); pulsed {
		d.pulsed = true
		var seen bool
		if d.cycle, seen = p.sampled(); !seen {
			d.refuseMissed(p)
			return
		}
	}
	need := leastOn // samples in a row that can only mean on
	if w := d.feed.TestPulse.Width; w > 0 {
		need = max(need, most(nanos(w))+1)
	}
	if d.road == "stop" && int64(need)*longRefresh > stopLateNS {
		d.refuseSlowStop(need)
		return
	}
	d.on = max(d.on, need)
	d.bridge()
	d.hurry(need)
	if d.pulsed && d.gap == 0 && !d.unbroken(need) {
		return
	}
	d.release()
	d.judge()
}

// quiet is how many low samples surely stand between two test pulses; false when there is no second pulse.
func (d *derivation) quiet() (int, bool) {
	t := d.feed.TestPulse
	return least(nanos(t.Every - t.Width)), t.Every > 0
}

// bridge sets the gap over which highs of a pulsed wire are added up, unless it would also add up test pulses: then it stays 0.
func (d *derivation) bridge() {
	if !d.pulsed {
		return
	}
	gap := (most(d.cycle.gap) + 1 + GapStep - 1) / GapStep * GapStep
	if quiet, again := d.quiet(); gap <= GapMost && (!again || gap+2 <= quiet) {
		d.gap = gap
	}
}

// hurry takes on below practice where a pulsed wire would answer late, but never below what test pulses need. A stop wire whose
// test pulses are not known keeps practice.
func (d *derivation) hurry(need int) {
	if d.road == "stop" && d.feed.TestPulse.Width == 0 {
		return
	}
	limit := int64(answerOnNS)
	if d.road == "stop" {
		limit = stopOnNS
	}
	for d.on > need && d.onNS() > limit {
		d.on--
	}
}

// unbroken makes sure that each high part is long enough by itself, for a wire whose high parts cannot be added up.
func (d *derivation) unbroken(need int) bool {
	d.on = min(d.on, d.cycle.hits-1)
	if d.on >= need {
		return true
	}
	d.refuseAlike(need)
	return false
}

// release sets off between the longest low while on and the shortest quiet time while off.
func (d *derivation) release() {
	need := leastOff
	if low := d.cycle.gap + nanos(d.feed.Bounce); low > 0 {
		need = max(need, most(low)+1)
	}
	d.off = max(d.off, need)
	if d.feed.Kind == Relay {
		d.off = max(d.off, showCount)
	}
	if quiet, again := d.quiet(); again && d.off > quiet-1 {
		d.off = quiet - 1
		if d.off < need {
			d.refuseLatched(need, quiet)
		}
	}
	if d.off > 255 {
		panic("feed: a low part longer than Check allows")
	}
}

// onNS is the longest time from the switching of the wire until the filter has seen On highs, bounce left out, ns.
func (d *derivation) onNS() int64 {
	count, c := int64(d.on), d.cycle
	switch {
	case !d.pulsed:
		return count * longRefresh
	case d.gap == 0: // a high part just too short to count, then a whole one
		return min(count*longRefresh, c.high) + c.low + count*longRefresh
	case c.hits == 0:
		return count * 2 * c.period
	}
	worst, hits := count*longRefresh, int64(c.hits)
	for first := int64(0); first < count && first <= hits; first++ { // samples in the rest of a high part at the start
		whole := (count - first - 1) / hits
		left := count - first - whole*hits
		worst = max(worst, min((first+1)*longRefresh, c.high)+c.low+whole*c.period+left*longRefresh)
	}
	return worst
}

func (d *derivation) onLimitNS() int64 {
	if d.road == "stop" {
		return stopLateNS
	}
	return answerOnNS
}

// offNS is the longest time from the switching of the wire until the filter has seen Off lows, bounce left out, ns.
func (d *derivation) offNS() int64 {
	ns := int64(d.off) * longRefresh
	if w := d.feed.TestPulse.Width; w > 0 { // a test pulse just before the last low makes the count begin again
		ns += nanos(w) + ns
	}
	return ns
}

func (d *derivation) delay() Delay {
	return Delay{On: micros(d.onNS()) + d.feed.Bounce, Off: micros(d.offNS()) + d.feed.Bounce}
}
