package light

import "math"

// seats is where the LEDs sit in a stroke: which of them it goes over and at
// which place along its axis. LEDs that sit alike in every stroke form one
// class and share one light.
type seats struct {
	stroke   *Stroke
	tone     tone
	lastMS   float64 // how long one start takes, ms
	calledMS float64 // of a call: the called routine's own length, ms
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
// group, how many of each class it has. Classes are numbered as the groups
// first meet them.
func (s *Sampler) classify(stage *Stage, groups [][]int) {
	partOf := make([][]int, len(s.seats))
	row := make([]int32, stage.Len())
	alike := make([]int32, stage.Len()) // of each LED: what it shares with those that sit alike
	asked := once(groups, stage.Len())
	for i := range s.seats {
		seat := &s.seats[i]
		if seat.stroke.Kind == Scatter {
			partOf[i], seat.n = seat.stroke.parts()
		}
		seat.fill(row)
		seat.divide(asked, alike, row, partOf[i])
	}
	class := make([]int32, stage.Len()+1) // by what LEDs share; counted from 1
	var first []int                       // LED of each class
	var shareOf, lastGroup []int          // of each class: its share in the group that met it last
	for g, leds := range groups {
		for _, led := range leds {
			c := int(class[alike[led]]) - 1
			if c < 0 {
				c = len(first)
				class[alike[led]] = int32(c + 1)
				first, shareOf, lastGroup = append(first, led), append(shareOf, 0), append(lastGroup, -1)
			}
			if lastGroup[c] != g {
				lastGroup[c], shareOf[c] = g, len(s.shares)
				s.shares = append(s.shares, share{class: c})
			}
			s.shares[shareOf[c]].leds++
		}
		s.ends = append(s.ends, len(s.shares))
		s.sizes = append(s.sizes, float64(len(leds)))
	}
	s.levels = make([]float64, len(first))
	for i := range s.seats {
		seat := &s.seats[i]
		seat.fill(row)
		for class, led := range first {
			seat.seat(class, row[led], partOf[i])
		}
	}
}

// once lists the LEDs of groups, each once.
func once(groups [][]int, stage int) (leds []int) {
	seen := make([]bool, stage)
	for _, group := range groups {
		for _, led := range group {
			if !seen[led] {
				seen[led] = true
				leds = append(leds, led)
			}
		}
	}
	return leds
}

// fill gives for each LED of the stage its index in the stroke's region, or -1.
func (s *seats) fill(row []int32) {
	for led := range row {
		row[led] = -1
	}
	for at, led := range s.stroke.On {
		row[led] = int32(at)
	}
}

// divide tells apart those LEDs among the alike that sit differently in this stroke. What LEDs share stays below the number of LEDs.
func (s *seats) divide(leds []int, alike, row []int32, partOf []int) {
	type seat struct {
		before int32
		on     bool
		where  uint64
	}
	known := make(map[seat]int32) // looked up only, never walked
	var last seat
	number := int32(-1)
	for _, led := range leds {
		at := row[led]
		one := seat{before: alike[led], on: at >= 0}
		switch {
		case at < 0:
		case s.stroke.Kind.Travels():
			one.where = math.Float64bits(s.stroke.Axis.MM[at])
		case s.stroke.Kind == Scatter:
			one.where = uint64(partOf[at])
		}
		if one != last || number < 0 { // neighbours are mostly alike
			var met bool
			if number, met = known[one]; !met {
				number = int32(len(known))
				known[one] = number
			}
			last = one
		}
		alike[led] = number
	}
}

// seat gives a class the seat of one of its LEDs, by that one's index in the region.
func (s *seats) seat(class int, at int32, partOf []int) {
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
