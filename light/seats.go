package light

import (
	"encoding/binary"
	"math"
)

// seats is where the LEDs sit in a stroke: which of them it goes over and at
// which place along its axis. LEDs that sit alike in every stroke form one
// class and share one light.
type seats struct {
	stroke   *Stroke
	tone     tone
	lastMS   float64 // how long one start takes, ms
	calledMS float64 // of a call: the called routine's own length, ms
	row      []int32 // for each LED of the stage, its index in On, or -1; only while classes are made
	all      bool    // a call over everything

	classes []int32   // the classes the stroke goes over
	places  []float64 // for each of them its place along the axis, mm
	parts   []int     // for each of them its part of a scatter
	n       int       // number of parts

	shuffled int       // the repeat that ranks are for
	ranks    []float64 // for each part
}

// collect numbers every stroke that the routine reaches.
func (s *Sampler) collect(r *Routine) {
	for i := range r.Strokes {
		stroke := &r.Strokes[i]
		if _, ok := s.number[stroke]; ok {
			return // the routine is known already
		}
		s.number[stroke] = len(s.seats)
		seat := seats{stroke: stroke, tone: stroke.tone(), lastMS: stroke.lastMS(1),
			all: stroke.Kind == Call && stroke.On == nil, shuffled: -1}
		if stroke.Kind == Call {
			seat.calledMS = stroke.Called.Length()
		}
		s.seats = append(s.seats, seat)
	}
	for i := range r.Strokes {
		if r.Strokes[i].Kind == Call {
			s.collect(r.Strokes[i].Called)
		}
	}
}

// classify sorts the LEDs of the groups into classes and counts, for each
// group, how many of each class it has.
func (s *Sampler) classify(stage *Stage, groups [][]int) {
	partOf := make([][]int, len(s.seats))
	for i := range s.seats {
		seat := &s.seats[i]
		seat.row = make([]int32, stage.Len())
		for led := range seat.row {
			seat.row[led] = -1
		}
		for at, led := range seat.stroke.On {
			seat.row[led] = int32(at)
		}
		if seat.stroke.Kind == Scatter {
			partOf[i], seat.n = seat.stroke.parts()
		}
	}
	classes := make(map[string]int) // looked up only, never walked
	tally := make(map[int]int)      // class to its index in the group's shares
	var key []byte
	for _, leds := range groups {
		clear(tally)
		for _, led := range leds {
			key = key[:0]
			for i := range s.seats {
				key = s.seats[i].describe(key, led, partOf[i])
			}
			class, known := classes[string(key)]
			if !known {
				class = len(classes)
				classes[string(key)] = class
				for i := range s.seats {
					s.seats[i].seat(class, led, partOf[i])
				}
			}
			at, known := tally[class]
			if !known {
				at = len(s.shares)
				tally[class] = at
				s.shares = append(s.shares, share{class: class})
			}
			s.shares[at].leds++
		}
		s.ends = append(s.ends, len(s.shares))
		s.sizes = append(s.sizes, float64(len(leds)))
	}
	s.levels = make([]float64, len(classes))
	for i := range s.seats {
		s.seats[i].row = nil
	}
}

// describe appends what tells an LED's seat from others.
func (s *seats) describe(key []byte, led int, partOf []int) []byte {
	at := s.row[led]
	switch {
	case at < 0:
		return append(key, 0)
	case s.stroke.Kind.Travels():
		return binary.LittleEndian.AppendUint64(append(key, 1), math.Float64bits(s.stroke.Axis.MM[at]))
	case s.stroke.Kind == Scatter:
		return binary.LittleEndian.AppendUint64(append(key, 1), uint64(partOf[at]))
	}
	return append(key, 1)
}

// seat gives a class the seat of one of its LEDs.
func (s *seats) seat(class, led int, partOf []int) {
	at := s.row[led]
	if at < 0 {
		return
	}
	s.classes = append(s.classes, int32(class))
	place, part := 0.0, 0
	if s.stroke.Kind.Travels() {
		place = s.stroke.Axis.MM[at]
	}
	if s.stroke.Kind == Scatter {
		part = partOf[at]
	}
	s.places, s.parts = append(s.places, place), append(s.parts, part)
}

// lay lays the stroke in a shape on the lightness of every class it goes over.
func (s *seats) lay(p shape, levels []float64) {
	if s.stroke.Kind == Scatter && s.shuffled != p.repeat {
		s.ranks, s.shuffled = s.stroke.ranks(p.repeat, s.n), p.repeat
	}
	for i, class := range s.classes {
		place := s.places[i]
		if s.ranks != nil {
			place = s.ranks[s.parts[i]]
		}
		levels[class] = s.tone.lay(levels[class], s.stroke.reach(p, place, s.n), s.stroke.Meets)
	}
}

// settle ends a call: what it did stands only where the call goes over, and
// meets what was below before it.
func (s *seats) settle(below, levels []float64) {
	meets := s.stroke.Meets
	if s.all {
		for class := range levels {
			levels[class] = meets.meet(below[class], levels[class], 1)
		}
		return
	}
	next := 0
	for class := range levels {
		if next < len(s.classes) && int(s.classes[next]) == class {
			levels[class] = meets.meet(below[class], levels[class], 1)
			next++
		} else {
			levels[class] = below[class]
		}
	}
}
