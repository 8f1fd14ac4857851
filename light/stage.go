package light

import "lampwright/lamp"

// Stage is the LEDs of one or several lamps, numbered through from 0: first
// all LEDs of the first lamp, then those of the second, and so on.
type Stage struct {
	Lamps []*lamp.Lamp
	refs  []lamp.Ref
	first []int // for each lamp, the number of its first LED
	group []int // for each LED, the number of its group
	count int   // of groups
}

// NewStage makes a stage of lamps. The lamps must have passed Check.
func NewStage(lamps ...*lamp.Lamp) *Stage {
	s := &Stage{Lamps: lamps}
	for _, l := range lamps {
		s.first = append(s.first, len(s.refs))
		for i := range l.LEDs {
			s.refs = append(s.refs, lamp.Ref{Lamp: l, LED: i})
			s.group = append(s.group, s.count+l.LEDs[i].Group)
		}
		s.count += len(l.Groups)
	}
	return s
}

// Len is the number of LEDs.
func (s *Stage) Len() int { return len(s.refs) }

// Ref gives the lamp and the LED behind a stage number.
func (s *Stage) Ref(led int) lamp.Ref { return s.refs[led] }

// LED gives the stage number of an LED of the lamp with the given index.
func (s *Stage) LED(lampIndex, led int) int { return s.first[lampIndex] + led }

// GroupLEDs gives the stage numbers of the LEDs of groups of one lamp, in the
// order of the groups given; nil means all groups of the lamp.
func (s *Stage) GroupLEDs(lampIndex int, groups []int) []int {
	l := s.Lamps[lampIndex]
	var leds []int
	if groups == nil {
		for led := range l.LEDs {
			leds = append(leds, s.first[lampIndex]+led)
		}
		return leds
	}
	for _, led := range l.LEDsOf(groups) {
		leds = append(leds, s.first[lampIndex]+led)
	}
	return leds
}

// Groups gives every group of the stage as stage numbers of its LEDs: those of
// the first lamp in layout order, then those of the second, and so on. It is
// what a Sampler wants.
func (s *Stage) Groups() [][]int {
	var all [][]int
	for i, l := range s.Lamps {
		for g := range l.Groups {
			all = append(all, s.GroupLEDs(i, []int{g}))
		}
	}
	return all
}

// Each gives every LED as a group of its own, for a Sampler that is to show the
// light LED by LED.
func (s *Stage) Each() [][]int {
	each, all := make([][]int, s.Len()), make([]int, s.Len())
	for led := range each {
		all[led] = led
		each[led] = all[led : led+1 : led+1]
	}
	return each
}

// GroupOf gives the number, in Groups, of the group an LED belongs to.
func (s *Stage) GroupOf(led int) int { return s.group[led] }

// Axis measures a region along a direction, see lamp.Along.
func (s *Stage) Axis(on []int, d lamp.Direction) (lamp.Axis, error) {
	region := make([]lamp.Ref, len(on))
	for i, led := range on {
		region[i] = s.refs[led]
	}
	return lamp.Along(region, d)
}

// WholeGroups moves every LED of an axis to the mean place of the LEDs of its
// group in the region, so that a group changes as one and a hard edge never
// stands within it. On an axis that closes on itself the mean is taken the
// shorter way round from the group's first LED.
func (s *Stage) WholeGroups(on []int, axis lamp.Axis) lamp.Axis {
	type tally struct {
		first, sum float64 // place of the first LED and sum of the distances from it, mm
		n          int
	}
	groups := make([]tally, s.count)
	for i, led := range on {
		t := &groups[s.group[led]]
		if t.n == 0 {
			t.first = axis.MM[i]
		}
		t.sum += shorterWay(axis.MM[i]-t.first, axis.AroundMM)
		t.n++
	}
	out := lamp.Axis{MM: make([]float64, len(on)), AroundMM: axis.AroundMM}
	for i, led := range on {
		t := groups[s.group[led]]
		place := t.first + t.sum/float64(t.n)
		if axis.AroundMM > 0 && place < 0 {
			place += axis.AroundMM
		}
		if axis.AroundMM > 0 && place >= axis.AroundMM {
			place -= axis.AroundMM
		}
		out.MM[i] = place
		if i == 0 {
			out.LowMM, out.HighMM = place, place
		}
		out.LowMM, out.HighMM = min(out.LowMM, place), max(out.HighMM, place)
	}
	return out
}

// shorterWay takes a whole round off a distance along a closed axis if the
// other way is shorter, mm.
func shorterWay(d, around float64) float64 {
	switch {
	case around > 0 && d > around/2:
		return d - around
	case around > 0 && d < -around/2:
		return d + around
	}
	return d
}

// Units gives for each LED of a region the number of its group: the parts of a
// scatter that switches whole groups.
func (s *Stage) Units(on []int) []int {
	units := make([]int, len(on))
	for i, led := range on {
		units[i] = s.group[led]
	}
	return units
}
