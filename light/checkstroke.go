package light

import (
	"math"
	"strconv"

	"lampwright/report"
)

// Check gives what is wrong with one stroke over a stage. The text does not
// name the stroke; who knows its place adds it.
func (s *Stroke) Check(stage *Stage) report.List {
	var wrong report.List
	bad := func(id, next, format string, args ...any) {
		wrong.Add(report.Errorf(id, report.Place{}, format, args...).Do("%s", next))
	}
	if s.Kind < Sweep || s.Kind > Call || s.Meets < Over || s.Meets > Dimmer || s.Ease < Even || s.Ease > Gentle {
		bad("stroke", "use a known stroke", "it is of no known kind, ease or way to meet what is below")
		return wrong
	}
	s.checkRegion(stage, bad)
	s.checkTimes(bad)
	s.checkLight(bad)
	switch s.Kind {
	case Pass, Swing:
		if s.BandMM == 0 && s.EdgeMM == 0 {
			bad("band", "give the width of the band in mm", "its band has no width")
		}
		if s.Around && s.Kind == Pass {
			s.checkAround(bad)
		}
	case Call:
		if s.Called == nil {
			bad("call", "name a routine", "it calls nothing")
		}
	}
	if s.Around && s.Kind != Pass {
		bad("around", "use a pass", "only a pass goes round")
	}
	return wrong
}

type complain func(id, next, format string, args ...any)

func (s *Stroke) checkRegion(stage *Stage, bad complain) {
	if len(s.On) == 0 && !(s.Kind == Call && s.On == nil) {
		bad("region", "name a zone or group that has LEDs", "it goes over no LED")
		return
	}
	seen := make([]bool, stage.Len())
	for _, led := range s.On {
		if led < 0 || led >= len(seen) {
			bad("region", "use a lamp the routine is for", "it goes over an LED that is not on the routine's lamps")
			return
		}
		if seen[led] {
			ref := stage.Ref(led)
			bad("region", "name it once", "it names LED %s of lamp %s twice", ref.Lamp.LEDs[ref.LED].ID, ref.Lamp.Name)
			return
		}
		seen[led] = true
	}
	if s.Kind.Travels() && len(s.Axis.MM) != len(s.On) {
		bad("direction", "give it a direction", "it travels, but nothing says where to")
	}
	if s.Kind == Scatter && s.Units != nil && len(s.Units) != len(s.On) {
		bad("units", "give each LED the number of its part", "it has parts for %d of its %d LEDs", len(s.Units), len(s.On))
	}
}

func (s *Stroke) checkTimes(bad complain) {
	for _, v := range []struct {
		what  string
		value float64
		unit  string
	}{
		{"start", s.StartMS, "ms"}, {"time", s.ForMS, "ms"}, {"time from start to start", s.EveryMS, "ms"},
		{"time of each part", s.EachMS, "ms"}, {"edge", s.EdgeMM, "mm"}, {"band", s.BandMM, "mm"},
	} {
		if !(v.value >= 0) || math.IsInf(v.value, 0) {
			bad("stroke", "give 0 "+v.unit+" or more", "its %s is %s %s", v.what, strconv.FormatFloat(v.value, 'g', 6, 64), v.unit)
		}
	}
	if s.ForMS == 0 && (s.Kind == Pass || s.Kind == Swing || s.Kind == Beat) {
		bad("no-time", "say how long it takes", "it takes no time, so it would never be seen")
	}
	if s.Times < 0 {
		bad("times", "give 1 or more", "it is repeated %d times", s.Times)
	}
	if s.times() > 1 && s.EveryMS == 0 && s.ForMS == 0 && s.Kind != Call {
		bad("times", "say how long one takes, or how often it starts", "it is repeated, but nothing says when")
	}
	if s.Kind == Scatter && s.EachMS > s.ForMS {
		bad("each", "give each part less time, or the stroke more", "each part lasts %s of a stroke of %s", ms(s.EachMS), ms(s.ForMS))
	}
}

func (s *Stroke) checkLight(bad complain) {
	if !(s.Light >= 0 && s.Light <= 1) {
		bad("light", "give 0 % to 100 %", "its light is %s %%", percent(s.Light))
	}
	if s.From == nil {
		return
	}
	from := *s.From
	switch {
	case !(from >= 0 && from <= 1):
		bad("light", "give 0 % to 100 %", "it starts from a light of %s %%", percent(from))
	case s.Kind == FadeUp && from > s.Light:
		bad("light", "use a fade down, or exchange the two", "it fades up from %s %% to %s %%", percent(from), percent(s.Light))
	case s.Kind == FadeDown && from < s.Light:
		bad("light", "use a fade up, or exchange the two", "it fades down from %s %% to %s %%", percent(from), percent(s.Light))
	}
}

func (s *Stroke) checkAround(bad complain) {
	switch around := s.Axis.AroundMM; {
	case around == 0:
		bad("around", "use clockwise, anticlockwise or a closed light path", "it goes round, but its direction does not close on itself")
	case s.BandMM+float64(2*s.EdgeMM) > around:
		bad("around", "make band and edges narrower", "its band and edges are %s mm wide, more than one round of %s mm",
			strconv.FormatFloat(s.BandMM+float64(2*s.EdgeMM), 'f', -1, 64), strconv.FormatFloat(math.Round(around*100)/100, 'f', -1, 64))
	}
}

// percent writes a share of light for a message.
func percent(share float64) string {
	return strconv.FormatFloat(math.Round(share*10000)/100, 'f', -1, 64)
}
