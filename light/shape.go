package light

import "math"

// shape is a stroke at an instant, reduced to what decides an LED's reach.
// Equal shapes of one stroke give equal light.
type shape struct {
	form   form
	at     float64 // flat: the reach; front: front; band: tip; spot: centre, mm; fill: rank; spark: ms since start
	edge   float64 // mm
	band   float64 // band: Band + 2·Edge; spot: Band/2, mm
	around float64 // spot: one round, mm; 0 if it does not close
	repeat int     // fill and spark: which shuffle
}

type form int

const (
	none  form = iota // does not act
	flat              // the same reach everywhere
	front             // sweep, clear
	band              // pass
	spot              // swing, pass around
	fill              // scatter that stays
	spark             // scatter with Each
)

// thereAndBack runs 0..1..0 while u runs 0..1.
func thereAndBack(u float64) float64 {
	if u < 0.5 {
		return 2 * u
	}
	return 2 - float64(2*u)
}

// shape gives the stroke's shape at a moment.
func (s *Stroke) shape(m moment) shape {
	if !m.acts {
		return shape{}
	}
	low, span := s.Axis.LowMM, s.Axis.HighMM-s.Axis.LowMM
	switch s.Kind {
	case Sweep, Clear:
		if m.u >= 1 {
			return shape{form: flat, at: 1}
		}
		return shape{form: front, at: low + float64((span+s.EdgeMM)*s.Ease.Way(m.u)), edge: s.EdgeMM}
	case Pass:
		if s.Around {
			return shape{form: spot, at: s.Axis.AroundMM * s.Ease.Way(m.u), edge: s.EdgeMM, band: s.BandMM / 2, around: s.Axis.AroundMM}
		}
		whole := s.BandMM + float64(2*s.EdgeMM)
		return shape{form: band, at: low + float64((span+whole)*s.Ease.Way(m.u)), edge: s.EdgeMM, band: whole}
	case Swing:
		return shape{form: spot, at: low + float64(span*s.Ease.Way(thereAndBack(m.u))), edge: s.EdgeMM, band: s.BandMM / 2}
	case FadeUp, FadeDown:
		return shape{form: flat, at: s.Ease.Way(m.u)}
	case Beat:
		return shape{form: flat, at: s.Ease.Way(thereAndBack(m.u))}
	case Scatter:
		if s.EachMS > 0 {
			return shape{form: spark, at: m.sinceMS, repeat: m.repeat}
		}
		return shape{form: fill, at: s.Ease.Way(m.u), repeat: m.repeat}
	}
	return shape{form: flat, at: 1}
}

// reach gives the reach, 0..1, at a place along the axis in mm. For scatter the
// place is the rank of the LED's part in the shuffle and parts their number.
func (s *Stroke) reach(p shape, place float64, parts int) float64 {
	switch p.form {
	case flat:
		return p.at
	case front:
		return ramp(p.at-place, p.edge)
	case band:
		d := p.at - place
		if p.edge == 0 {
			if d >= -near && d < p.band-near {
				return 1
			}
			return 0
		}
		return min(ramp(d, p.edge), ramp(p.band-d, p.edge))
	case spot:
		d := math.Abs(place - p.at)
		if p.around > 0 {
			d = math.Mod(d, p.around)
			d = min(d, p.around-d)
		}
		return ramp(p.band+p.edge-d, p.edge)
	case fill:
		return ramp(float64(p.at*float64(parts-1))-place, 0)
	case spark:
		begin := 0.0
		if parts > 1 {
			begin = float64((s.ForMS-s.EachMS)*place) / float64(parts-1)
		}
		return s.Ease.Way(thereAndBack((p.at - begin) / s.EachMS)) // Way is 0 before and after
	}
	return 0
}

// ramp rises from 0 at d = 0 to 1 at d = edge, both in mm. Without an edge it
// steps to 1 at d = 0.
func ramp(d, edge float64) float64 {
	switch {
	case edge == 0 && d >= -near, d >= edge && edge > 0:
		return 1
	case d <= 0 || edge == 0:
		return 0
	}
	return d / edge
}

// tone is a stroke's light in lightness.
type tone struct {
	from, to float64 // L*
	based    bool    // From is given
}

func (s *Stroke) tone() tone {
	t := tone{to: lightnessOf(s.Light)}
	if s.From != nil {
		t.from, t.based = lightnessOf(*s.From), true
	}
	return t
}

// lay lays a reach of the stroke on the lightness below.
func (t tone) lay(below, reach float64, m Meet) float64 {
	if t.based {
		return m.meet(below, mix(t.from, t.to, reach), 1)
	}
	return m.meet(below, t.to, reach)
}
