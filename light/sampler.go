package light

import "slices"

// Sampler gives the light of groups at instants. It computes each LED's light
// as Routine.At does, bit for bit, but only once for LEDs that no stroke tells
// apart, and only for instants that differ from the last one asked for.
//
// A Sampler remembers the last instant; give each goroutine its own.
type Sampler struct {
	root   *Routine
	length float64 // ms
	seats  []seats // one for each stroke reached, calls included
	number map[*Stroke]int
	shares []share // all groups' shares one after another
	ends   []int   // for each group, the end of its shares
	sizes  []float64

	plan, last []step
	fresh      bool      // last is the plan of lights
	levels     []float64 // for each kind of seat, lightness
	saved      [][]float64
	lights     []float64 // for each group, 0..1
}

// share is how many LEDs of a group sit alike.
type share struct {
	class int
	leds  float64
}

// step is a part of an instant's work: to lay a stroke, or to open or close a
// call that keeps some of what is below.
type step struct {
	what   stepKind
	stroke int // index into Sampler.seats
	shape  shape
}

type stepKind int

const (
	layStroke stepKind = iota
	openCall
	closeCall
)

// NewSampler prepares a routine over a stage for groups, which are lists of
// stage numbers of LEDs (as Stage.Groups gives them). A routine that does not
// pass Check is refused with its faults.
func NewSampler(stage *Stage, r *Routine, groups [][]int) (*Sampler, error) {
	if wrong := r.Check(stage); wrong.HasErrors() {
		return nil, wrong.Err()
	}
	s := &Sampler{root: r, length: r.Length(), number: make(map[*Stroke]int), lights: make([]float64, len(groups))}
	s.collect(r)
	s.classify(stage, groups)
	return s, nil
}

// Groups is the number of groups.
func (s *Sampler) Groups() int { return len(s.lights) }

// LengthMS is the routine's length, ms.
func (s *Sampler) LengthMS() float64 { return s.length }

// At gives the light of every group at t ms, 0..1. The slice is the Sampler's
// and holds until the next call.
func (s *Sampler) At(tMS float64) []float64 {
	if !(tMS >= 0 && tMS <= s.length) {
		clear(s.lights)
		s.fresh = false
		return s.lights
	}
	s.plan = s.schedule(s.plan[:0], s.root, s.length, tMS)
	if s.fresh && slices.Equal(s.plan, s.last) {
		return s.lights
	}
	clear(s.levels)
	s.perform(s.plan)
	s.mean()
	s.plan, s.last, s.fresh = s.last, s.plan, true
	return s.lights
}

// Frame gives the light of every group at frame k, which is the instant
// k·FrameMS. The slice is the Sampler's and holds until the next call.
func (s *Sampler) Frame(k int) []float64 { return s.At(float64(FrameMS * float64(k))) }

// Sample gives the light of each group at frames 0 to frames-1: light[group][frame], 0..1.
func Sample(stage *Stage, r *Routine, groups [][]int, frames int) ([][]float64, error) {
	s, err := NewSampler(stage, r, groups)
	if err != nil {
		return nil, err
	}
	all := make([]float64, len(groups)*frames)
	rows := make([][]float64, len(groups))
	for g := range rows {
		rows[g] = all[g*frames : (g+1)*frames : (g+1)*frames]
	}
	for k := range frames {
		for g, light := range s.Frame(k) {
			rows[g][k] = light
		}
	}
	return rows, nil
}

// schedule writes down what an instant of a routine takes, in order.
func (s *Sampler) schedule(plan []step, r *Routine, lengthMS, tMS float64) []step {
	for i := range r.Strokes {
		plan = s.scheduleStroke(plan, &r.Strokes[i], tMS, tMS == lengthMS)
	}
	return plan
}

func (s *Sampler) scheduleStroke(plan []step, stroke *Stroke, tMS float64, closing bool) []step {
	n := s.number[stroke]
	m := stroke.moment(tMS, closing, s.seats[n].lastMS)
	if !m.acts {
		return plan
	}
	if stroke.Kind != Call {
		return append(plan, step{what: layStroke, stroke: n, shape: stroke.shape(m)})
	}
	called := s.seats[n].calledMS
	if stroke.On == nil && stroke.Meets == Over {
		return s.schedule(plan, stroke.Called, called, stroke.calledMS(m, called))
	}
	plan = append(plan, step{what: openCall, stroke: n})
	plan = s.schedule(plan, stroke.Called, called, stroke.calledMS(m, called))
	return append(plan, step{what: closeCall, stroke: n})
}

// perform lays a plan on the levels.
func (s *Sampler) perform(plan []step) {
	depth := 0
	for _, p := range plan {
		seat := &s.seats[p.stroke]
		switch p.what {
		case layStroke:
			seat.lay(p.shape, s.levels)
		case openCall:
			if depth == len(s.saved) {
				s.saved = append(s.saved, make([]float64, len(s.levels)))
			}
			copy(s.saved[depth], s.levels)
			depth++
		case closeCall:
			depth--
			seat.settle(s.saved[depth], s.levels)
		}
	}
}

// mean turns the levels into light and takes each group's mean.
func (s *Sampler) mean() {
	for i, level := range s.levels {
		s.levels[i] = shareOf(level)
	}
	from := 0
	for g, to := range s.ends {
		sum := 0.0
		for _, part := range s.shares[from:to] {
			sum += float64(part.leds * s.levels[part.class])
		}
		if s.lights[g] = 0; to > from {
			s.lights[g] = sum / s.sizes[g]
		}
		from = to
	}
}
