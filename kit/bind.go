package kit

import (
	"errors"
	"slices"

	"lampwright/job"
	"lampwright/lamp"
	"lampwright/light"
	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

// binder resolves the strokes of a routine, and of what it calls, on one stage.
type binder struct {
	kit    *Kit
	lamps  []*Lamp
	stage  *scene
	faults report.List
	whole  bool                              // every region was found on the stage
	places map[*light.Routine][]report.Place // of the strokes that were resolved
	at     map[*light.Routine]report.Place   // of the routines
}

var kinds = map[string]light.Kind{
	"sweep": light.Sweep, "clear": light.Clear, "pass": light.Pass, "swing": light.Swing, "fade-up": light.FadeUp,
	"fade-down": light.FadeDown, "beat": light.Beat, "hold": light.Hold, "scatter": light.Scatter, "call": light.Call,
}

var eases = map[job.Easing]light.Ease{
	job.Even: light.Even, job.GentleStart: light.GentleStart, job.GentleEnd: light.GentleEnd, job.Gentle: light.Gentle,
}

var meets = map[job.Meets]light.Meet{job.Over: light.Over, job.Brighter: light.Brighter, job.Dimmer: light.Dimmer}

// routine resolves a routine; trail holds the routines that called it.
func (c *binder) routine(r *Routine, trail []string) *light.Routine {
	out := &light.Routine{Name: r.Name, LengthMS: r.source.Length.Value.Milliseconds()}
	c.at[out] = r.At
	for i, s := range r.source.Strokes {
		c.stroke(r, out, i, s, append(slices.Clone(trail), r.Name))
	}
	if length := out.Length(); length > maxRoutineMS {
		c.faults.Add(report.Errorf("limit", r.At, "routine %q is too long", r.Name).
			Against(units.Milliseconds(length).String(), units.Milliseconds(maxRoutineMS).String(), "ticks of one routine in a module").Do("shorten it"))
	}
	return out
}

// maxRoutineMS is the longest routine, ms: 65 535 ticks of 4 ms, and a little less to stay round.
const maxRoutineMS = 240_000

func (c *binder) stroke(r *Routine, into *light.Routine, index int, s job.Stroke, trail []string) {
	if s.Call != nil {
		c.call(into, *s.Call, trail)
		return
	}
	g := s.Gesture()
	if g == nil {
		return
	}
	out := light.Stroke{
		Kind: kinds[s.Chosen], StartMS: g.Start.Value.Milliseconds(), ForMS: g.For.Value.Milliseconds(),
		Times: g.Times.Value, EveryMS: g.Every.Value.Milliseconds(), Meets: meets[g.Meets.Or(job.Over)],
		Light: float64(g.Light.Or(1)),
	}
	if out.Kind == light.Clear || out.Kind == light.FadeDown {
		out.Light = float64(g.Light.Or(0))
	}
	on, ok := c.region(g.On)
	if !ok {
		return
	}
	out.On = on
	from := func(v source.Of[units.Share]) {
		if v.Given() {
			share := float64(v.Value)
			out.From = &share
		}
	}
	switch {
	case s.Sweep != nil:
		from(s.Sweep.From)
	case s.Clear != nil:
		from(s.Clear.From)
	case s.Pass != nil:
		out.BandMM = float64(s.Pass.Band)
	case s.Swing != nil:
		out.BandMM = float64(s.Swing.Band)
	case s.FadeUp != nil:
		from(s.FadeUp.From)
		out.Ease = eases[s.FadeUp.Easing.Or(job.Even)]
	case s.FadeDown != nil:
		from(s.FadeDown.From)
		out.Ease = eases[s.FadeDown.Easing.Or(job.Even)]
	case s.Beat != nil:
		from(s.Beat.From)
		out.Ease = eases[s.Beat.Easing.Or(job.Even)]
	case s.Scatter != nil:
		from(s.Scatter.From)
		out.Ease = eases[s.Scatter.Easing.Or(job.Even)]
		out.EachMS = s.Scatter.Each.Value.Milliseconds()
		out.Units = c.stage.Units(on)
		out.Seed = uint32(r.source.Seed.Value)<<8 | uint32(index)
	}
	if t := s.Travel(); t != nil && !c.travel(&out, *t, g) {
		return
	}
	c.lasts(&out, r, g)
	c.add(into, out, g.Where)
}

// travel resolves the way a stroke moves.
func (c *binder) travel(out *light.Stroke, t job.Travel, g *job.Gesture) bool {
	out.EdgeMM = float64(t.Edge.Value)
	out.Ease = eases[t.Easing.Or(job.Even)]
	direction := lamp.Direction{Heading: lamp.AlongPath, Path: t.Along.Text, Back: t.Backwards}
	place := t.Along.Where
	if t.Direction.Given() {
		var err error
		if direction, err = lamp.ParseDirection(string(t.Direction.Value)); err != nil {
			c.fault(err, t.Direction.Where)
			return false
		}
		place = t.Direction.Where
	}
	axis, err := c.stage.axis(out.On, way{regionsText(g.On.Items), direction, t.By.Value})
	if err != nil {
		if t.Along.Given() {
			c.whole = false // the stage has no such path: the routine does not fit it
		}
		c.fault(err, place)
		return false
	}
	out.Axis = axis
	out.Around = out.Kind == light.Pass && axis.AroundMM > 0
	return true
}

// lasts gives a stroke without a length the rest of its routine.
func (c *binder) lasts(out *light.Stroke, r *Routine, g *job.Gesture) {
	if g.For.Given() || out.Kind == light.Hold {
		return
	}
	rest := r.source.Length.Value.Milliseconds() - out.StartMS
	switch {
	case g.Every.Given():
		out.ForMS = out.EveryMS
	case r.source.Length.Given() && rest > 0:
		out.ForMS = rest / float64(max(out.Times, 1))
	default:
		c.faults.Add(report.Errorf("missing-key", g.Where, "nothing says how long this stroke takes").
			Because("neither it nor its routine has a length").Do("add for:, or give the routine a length:"))
	}
}

func (c *binder) call(into *light.Routine, s job.Call, trail []string) {
	called, ok := c.kit.Routine(s.Routine.Text)
	if !ok {
		all := names(c.kit.Routines, (*Routine).name)
		d := report.Errorf("unknown-name", s.Routine.Where, "there is no routine called %q", s.Routine.Text).DidYouMean(s.Routine.Text, all)
		c.faults.Add(d.Expect("%s", listed(all)).Do("name one of the routines"))
		return
	}
	if i := slices.Index(trail, called.Name); i >= 0 {
		c.faults.Add(report.Errorf("call", s.Routine.Where, "the calls go round in a circle: %s", circle(trail[i:])).
			Do("take one of the calls out"))
		return
	}
	if len(trail) >= light.MaxDepth {
		c.faults.Add(report.Errorf("call", s.Routine.Where, "the calls are nested too deep").
			Against(report.Count(len(trail), "call"), report.Count(light.MaxDepth, "call"), "limit of this program").Do("write the strokes into the routine itself"))
		return
	}
	out := light.Stroke{
		Kind: light.Call, StartMS: s.Start.Value.Milliseconds(), ForMS: s.For.Value.Milliseconds(),
		Light: 1, Meets: meets[s.Meets.Or(job.Over)], Backwards: s.Backwards,
	}
	if len(s.On.Items) > 0 {
		if out.On, ok = c.region(s.On); !ok {
			return
		}
	}
	out.Called = c.routine(called, trail)
	c.add(into, out, s.Where)
}

// region finds the LEDs of a stroke; no names mean the whole stage. It notes when the stage lacks one of them.
func (c *binder) region(regions source.OneOrMany[job.Region]) ([]int, bool) {
	text := regionsText(regions.Items)
	if known, ok := c.stage.regions[text]; ok {
		return known, true
	}
	if len(regions.Items) == 0 {
		all := make([]int, c.stage.Len())
		for i := range all {
			all[i] = i
		}
		c.stage.regions[text] = all
		return all, true
	}
	on := make([]bool, c.stage.Len())
	ok := true
	for _, r := range regions.Items {
		found, wrong := regionOn(c.lamps, r, func(i int, groups []int) {
			for _, g := range groups {
				for _, led := range c.lamps[i].Groups[g].LEDs {
					on[c.stage.LED(i, led)] = true
				}
			}
		})
		if !found {
			c.whole, ok = false, false
			if len(wrong) == 0 {
				wrong = report.List{report.Errorf("unknown-name", r.Where, "no lamp here is called %q", r.Names[0]).
					DidYouMean(r.Names[0], names(c.lamps, (*Lamp).name)).Do("name a zone of the lamps that the routine runs on")}
			}
			for _, d := range wrong {
				d.Place = r.Where
				c.faults.Add(advised(d))
			}
		}
	}
	if !ok {
		return nil, false
	}
	var leds []int
	for led, is := range on {
		if is && leds == nil {
			leds = make([]int, 0, len(on)-led)
		}
		if is {
			leds = append(leds, led)
		}
	}
	c.stage.regions[text] = leds
	return leds, true
}

// regionOn tells each lamp's index and groups that a region means. Where it means none on any lamp, found is false, and the faults of
// the first lamp that it could have meant tell why.
func regionOn(lamps []*Lamp, r job.Region, tell func(lamp int, groups []int)) (found bool, wrong report.List) {
	for i, l := range lamps {
		groups, faults := l.region(r)
		switch {
		case groups != nil:
			found = true
			tell(i, groups)
		case len(wrong) == 0:
			wrong = faults
		}
	}
	return found, wrong
}

// region finds the groups that a region means on this lamp; nil when it means none of them. The faults tell why, if it could have meant them.
func (l *Lamp) region(r job.Region) ([]int, report.List) {
	zone := r.Names[0]
	if len(r.Names) == 2 {
		if r.Names[0] != l.Name {
			return nil, nil
		}
		zone = r.Names[1]
	} else if zone == l.Name && r.Part == nil {
		if _, isZone := l.Zone(zone); !isZone {
			return l.Pick(lamp.Pick{})
		}
	}
	groups, faults := l.Pick(lamp.Pick{With: []lamp.Term{term(zone, r.Part)}})
	return groups, faults
}

// touch marks the LEDs that a routine may change.
func (c *binder) touch(r *light.Routine, touched []bool) {
	for i := range r.Strokes {
		s := &r.Strokes[i]
		if s.Kind == light.Call && s.On == nil {
			c.touch(s.Called, touched)
			continue
		}
		for _, led := range s.On {
			touched[led] = true
		}
	}
}

func (c *binder) add(into *light.Routine, s light.Stroke, at report.Place) {
	into.Strokes = append(into.Strokes, s)
	c.places[into] = append(c.places[into], at)
}

// where finds the place of a stroke, or of its routine.
func (c *binder) where(r *light.Routine, stroke int) report.Place {
	if places := c.places[r]; stroke >= 0 && stroke < len(places) {
		return places[stroke]
	}
	return c.at[r]
}

// check finds what is wrong with the whole of a routine, and strokes that nobody would ever see.
func (c *binder) check(r *light.Routine) {
	if c.faults.HasErrors() {
		return // strokes are missing: what follows would be about the gaps
	}
	c.faults.Add(r.CheckAt(c.stage.Stage, c.where)...)
	if c.faults.HasErrors() {
		return
	}
	idle, err := r.Idle(c.stage.Stage, c.where)
	if err != nil {
		c.fault(err, c.at[r])
	}
	c.faults.Add(idle...)
}

func (c *binder) fault(err error, at report.Place) {
	var d report.Diagnostic
	if !errors.As(err, &d) {
		d = report.Errorf("routine", at, "%v", err)
	}
	d.Place = at
	c.faults.Add(advised(d))
}

// circle writes calls that come back to where they began, from the first name in the alphabet on: one circle, one text.
func circle(names []string) string {
	first := slices.Index(names, slices.Min(names))
	text := names[first]
	for i := range names {
		text += " calls " + names[(first+i+1)%len(names)]
	}
	return text
}
