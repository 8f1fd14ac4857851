package light

import "slices"

// FrameMS is the time from frame to frame, ms. Frame k shows the light of the
// instant k·FrameMS from the routine's start: the first frame shows its very
// beginning.
const FrameMS = 4.0

// Calls may be nested MaxDepth deep, a routine that calls nothing being 1 deep,
// and reach MaxStrokes strokes in all, a routine called twice counting twice.
// The two keep the effort of one frame bounded.
const (
	MaxDepth   = 16
	MaxStrokes = 4096
)

// Routine is a piece of choreography.
type Routine struct {
	Name     string
	LengthMS float64 // ms; 0: until its last stroke has run, see Length
	Strokes  []Stroke
}

// Length is the routine's length, ms: LengthMS if given, else the end of the
// stroke that ends last. A routine of lasting holds only is one frame long.
func (r *Routine) Length() float64 { return r.length(1) }

func (r *Routine) length(depth int) float64 {
	if r.LengthMS > 0 {
		return r.LengthMS
	}
	end := 0.0
	if depth <= MaxDepth {
		for i := range r.Strokes {
			s := &r.Strokes[i]
			last := s.lastMS(depth)
			every := s.EveryMS
			if every == 0 {
				every = last
			}
			end = max(end, s.StartMS+float64(every*float64(s.times()-1))+last)
		}
	}
	if end == 0 {
		return FrameMS
	}
	return end
}

// At gives the light of an LED of the stage at t ms, as a share of linear
// light, 0..1. Before 0 and after the routine's length it is 0; at exactly the
// length it is the light just before it. This is the definition of a routine's
// light; a Sampler is the fast way to it. The routine must have passed Check.
func (r *Routine) At(led int, tMS float64) float64 {
	if !(tMS >= 0 && tMS <= r.Length()) {
		return 0
	}
	return shareOf(r.over(led, tMS, 0, 1))
}

// over lays the routine at an instant on the lightness below.
func (r *Routine) over(led int, tMS, below float64, depth int) float64 {
	if depth > MaxDepth {
		return below
	}
	closing := tMS == r.length(depth)
	for i := range r.Strokes {
		below = r.Strokes[i].over(led, tMS, closing, below, depth)
	}
	return below
}

// over lays the stroke at an instant on the lightness below.
func (s *Stroke) over(led int, tMS float64, closing bool, below float64, depth int) float64 {
	m := s.moment(tMS, closing, s.lastMS(depth))
	i := slices.Index(s.On, led)
	if !m.acts || i < 0 && s.On != nil {
		return below
	}
	if s.Kind == Call {
		return s.Meets.meet(below, s.Called.over(led, s.calledMS(m, s.Called.length(depth+1)), below, depth+1), 1)
	}
	place, n := 0.0, 0
	switch {
	case s.Kind == Scatter:
		var partOf []int
		partOf, n = s.parts()
		place = s.ranks(m.repeat, n)[partOf[i]]
	case s.Kind.Travels():
		place = s.Axis.MM[i]
	}
	return s.tone().lay(below, s.reach(s.shape(m), place, n), s.Meets)
}

// calledMS gives the called routine's own time, ms, at a moment of the call:
// stretched from its length to ForMS if that is given, and from its end if it
// runs backwards.
func (s *Stroke) calledMS(m moment, length float64) float64 {
	t := m.sinceMS
	switch {
	case s.ForMS > 0 && t >= s.ForMS:
		t = length
	case s.ForMS > 0 && s.ForMS != length:
		t = float64(t*length) / s.ForMS
	}
	if s.Backwards {
		return length - t
	}
	return t
}

// GroupLight gives the light of a group at t ms: the mean over its LEDs of
// their linear light, 0..1.
func (r *Routine) GroupLight(leds []int, tMS float64) float64 {
	if len(leds) == 0 {
		return 0
	}
	sum := 0.0
	for _, led := range leds {
		sum += r.At(led, tMS)
	}
	return sum / float64(len(leds))
}

// Reverse gives the routine played from its end: its light at t is the light
// of r at length - t.
func (r *Routine) Reverse() *Routine {
	return &Routine{
		Name:     r.Name + " backwards",
		LengthMS: r.Length(),
		Strokes:  []Stroke{{Kind: Call, Called: r, Backwards: true}},
	}
}
