package light

import "lampwright/lamp"

// Stroke is one gesture of light over a region of a stage. With
//
//	s         the LED's place along the axis, mm, between Low and High of the axis
//	u         the share of the stroke's time gone: (t - start) / for, held to 0..1
//	way(u)    the share of the way gone, by the stroke's Ease
//	b         the lightness below
//
// every kind gives a reach, 0..1, at each LED:
//
//	sweep, clear   front  = Low + (High - Low + Edge)·way(u)
//	               reach  = (front - s) / Edge, held to 0..1
//	               Edge 0: 1 where s <= front, else 0. So at t = start the LEDs at Low are just
//	               reached, and from t = start + for on the reach is 1 everywhere.
//	pass           tip    = Low + (High - Low + Band + 2·Edge)·way(u), d = tip - s
//	               reach  = the lesser of d/Edge and (Band + 2·Edge - d)/Edge, held to 0..1
//	               Edge 0: 1 where 0 <= d < Band. Band is the width at full reach; a soft edge is
//	               added before and behind it. At t = start and t = start + for nothing is reached,
//	               but with Edge 0 the LEDs at Low are reached at t = start.
//	pass, Around   centre = Around·way(u), d = distance from s to the centre the shorter way round
//	               reach  = 1 - (d - Band/2)/Edge, held to 0..1; Edge 0: 1 where d <= Band/2
//	swing          centre = Low + (High - Low)·way(v), v = 2u for u < 1/2, then 2 - 2u
//	               reach  as above, with d = |s - centre|
//	fade up, down  reach  = way(u)
//	beat           reach  = way(v), v as for swing: full at half time, 0 at both ends
//	hold           reach  = 1
//	scatter        The parts of the region are shuffled; part k of n (k from 0) is reached
//	               where k <= (n - 1)·way(u), and stays. With Each, part k acts alone from
//	               (for - Each)·k/(n - 1) on and beats for the length of Each:
//	               reach = way(v) of its own time. A single part acts at start.
//
// Where the reach is r, the stroke's light is Light, in lightness, covering
// what is below by r; so the LED's lightness is b + r·(Light - b). If From is
// given the stroke covers its whole region fully, with the lightness
// From + r·(Light - From). Brighter and dimmer put the greater or the lesser
// of that and b in its place:
//
//	out = b + cover·(meet(b, stroke) - b)
//
// Comparisons of places allow 0.000001 mm, so that rounding decides nothing.
//
// Time. A stroke acts from t = start, included. Sweep, clear, fade up, fade
// down, scatter without Each, and a hold of no length act until the routine
// ends: what they have lit stays. The others act until t = start + for, not
// included, and leave nothing. The routine's last instant, t = length, is the
// light just before it; it is seen when the routine is played backwards.
//
// Repeats. The stroke starts Times times, EveryMS apart; each start drops what
// the last one left.
type Stroke struct {
	Kind  Kind
	On    []int     // the region: LED numbers of the stage, each once; nil in a call means all
	Axis  lamp.Axis // the region along the direction: one MM for each of On; only if the kind travels
	Units []int     // scatter: for each of On, a number that is equal for LEDs that act together; nil: each by itself

	StartMS float64  // ms from the start of the routine
	ForMS   float64  // ms; a hold of 0 lasts; a call of 0 takes the called routine's own length
	Light   float64  // share of linear light, 0..1
	From    *float64 // share of linear light where the stroke does not reach, 0..1; nil: what lies below shows
	EdgeMM  float64  // width of the soft edge, mm
	BandMM  float64  // width at full reach, mm
	Around  bool     // a pass that goes once round an axis that closes on itself
	Ease    Ease
	Times   int     // starts; 0 means 1
	EveryMS float64 // ms from start to start; 0 means ForMS
	Meets   Meet

	Seed   uint32  // scatter: another seed, another order
	EachMS float64 // scatter: ms that each part lasts; 0: it stays

	Called    *Routine // call
	Backwards bool     // call: the called routine runs from its end to its start
}

// near is the play in comparisons of places, mm (or of ranks, without unit).
const near = 1e-6

// stays tells whether the stroke acts until the routine ends.
func (s *Stroke) stays() bool {
	switch s.Kind {
	case Sweep, Clear, FadeUp, FadeDown:
		return true
	case Scatter:
		return s.EachMS == 0
	case Hold:
		return s.ForMS == 0
	}
	return false
}

// times is how often the stroke starts.
func (s *Stroke) times() int { return max(s.Times, 1) }

// lastMS is how long one start takes, ms.
func (s *Stroke) lastMS(depth int) float64 {
	if s.Kind == Call && s.ForMS == 0 && s.Called != nil {
		return s.Called.length(depth + 1)
	}
	return s.ForMS
}

// moment is where a stroke is in its own time.
type moment struct {
	acts    bool
	repeat  int     // which start it is, from 0
	sinceMS float64 // ms since that start
	u       float64 // share of its time gone, 0..1
}

// moment gives the stroke's own time at t ms of the routine. closing means the
// routine's last instant, which counts as just before it.
func (s *Stroke) moment(tMS float64, closing bool, lastMS float64) moment {
	begun := func(startMS float64) bool { return startMS < tMS || startMS == tMS && !closing }
	if !begun(s.StartMS) {
		return moment{}
	}
	everyMS := s.EveryMS
	if everyMS == 0 {
		everyMS = lastMS
	}
	m := moment{acts: true}
	start := s.StartMS
	if last := s.times() - 1; last > 0 && everyMS > 0 {
		startOf := func(n int) float64 { return s.StartMS + float64(everyMS*float64(n)) }
		m.repeat = int(min((tMS-s.StartMS)/everyMS, float64(last)))
		for m.repeat < last && begun(startOf(m.repeat+1)) {
			m.repeat++
		}
		for m.repeat > 0 && !begun(startOf(m.repeat)) {
			m.repeat--
		}
		start = startOf(m.repeat)
	}
	m.sinceMS = tMS - start
	m.u = 1
	if m.sinceMS < lastMS {
		m.u = m.sinceMS / lastMS
	}
	over := m.sinceMS > lastMS || m.sinceMS == lastMS && !closing
	m.acts = s.stays() || !over
	return m
}
