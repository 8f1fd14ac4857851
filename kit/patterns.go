package kit

import (
	"math"

	"lampwright/job"
	"lampwright/lamp"
	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

// patterns unrolls the patterns of a lamp. Single LEDs that share a group are gathered where the first of them stands.
func (b *builder) patterns(l *Lamp, all []job.Pattern) {
	taken := map[string]report.Place{} // by patterns and groups of single LEDs
	claim := func(name source.Name, what string) bool {
		first, twice := taken[name.Text]
		if twice {
			l.unnamed = true
			b.add(report.Errorf("name-twice", name.Where, "lamp %s has two patterns called %q", l.Name, name.Text).See(first, "the other one").
				Because("a pattern names its groups and a zone of its own").Do("give this %s another name", what))
		} else {
			taken[name.Text] = name.Where
		}
		return !twice
	}
	gathered := map[string]bool{} // groups of single LEDs
	for _, p := range all {
		switch {
		case p.LED == nil:
			if body, shape := b.shape(p); claim(body.Name, "pattern") {
				b.unroll(l, body, shape)
			}
		case !gathered[groupOf(p.LED).Text]:
			name := groupOf(p.LED)
			gathered[name.Text] = true
			if block := b.gather(l, name.Text, all); claim(name, "LED or its group") {
				l.Add(block)
			}
		}
	}
}

// groupOf is the group of a single LED.
func groupOf(led *job.LED) source.Name {
	if led.Group.Given() {
		return led.Group
	}
	return led.Name
}

// gather makes the group of single LEDs that carry its name.
func (b *builder) gather(l *Lamp, group string, all []job.Pattern) lamp.Block {
	block := lamp.Block{Name: group, Groups: []lamp.Group{{Name: group + ".1"}}}
	first := map[string]report.Place{}
	for _, p := range all {
		if p.LED == nil || groupOf(p.LED).Text != group {
			continue
		}
		name := p.LED.Name
		if at, twice := first[name.Text]; twice {
			b.add(report.Errorf("name-twice", name.Where, "lamp %s has two LEDs called %q", l.Name, name.Text).See(at, "the other one").
				Do("give this LED another name; group: lets it light with the other one"))
			continue
		}
		first[name.Text] = name.Where
		block.Groups[0].LEDs = append(block.Groups[0].LEDs, len(block.LEDs))
		block.LEDs = append(block.LEDs, lamp.LED{
			ID: name.Text, At: point(p.LED.Point), Part: p.LED.Part.Text, Colour: b.colourOf(p.LED.Part),
		})
	}
	return block
}

// unroll makes the LEDs and groups of a pattern of several LEDs; shape is nil when it was refused.
func (b *builder) unroll(l *Lamp, body job.Body, shape lamp.Pattern) {
	if shape == nil {
		l.lost = append(l.lost, body.Name.Text)
		return
	}
	block, wrong := lamp.Unroll(body.Name.Text, shape, grouping(body.Group), body.Part.Text, b.colourOf(body.Part))
	for _, d := range wrong {
		if d.ID == "part-group" || d.ID == "grouping" {
			d.Place = body.Group.Where
		}
		b.placed(report.List{d}, body.Where)
	}
	if len(wrong) > 0 {
		l.lost = append(l.lost, body.Name.Text)
		return
	}
	l.Add(block)
}

// shape gives the geometry of a pattern; nil when it cannot be read.
func (b *builder) shape(p job.Pattern) (job.Body, lamp.Pattern) {
	switch {
	case p.Row != nil:
		count, pitch := b.straight(*p.Row, p.Row.To.Value.X-p.Row.From.X, p.Row.To.Value.Y-p.Row.From.Y, "row", "y")
		return p.Row.Body, lamp.Row{From: point(p.Row.From), Count: count, PitchMM: pitch}
	case p.Column != nil:
		count, pitch := b.straight(*p.Column, p.Column.To.Value.Y-p.Column.From.Y, p.Column.To.Value.X-p.Column.From.X, "column", "x")
		return p.Column.Body, lamp.Column{From: point(p.Column.From), Count: count, PitchMM: pitch}
	case p.Grid != nil:
		return p.Grid.Body, lamp.Grid{From: point(p.Grid.From), To: point(p.Grid.To), Columns: p.Grid.Columns, Rows: p.Grid.Rows}
	case p.Ring != nil:
		return p.Ring.Body, lamp.Ring{
			Centre: point(p.Ring.Centre), RadiusMM: float64(p.Ring.Radius), Count: p.Ring.Count,
			StartDeg: fromTwelve(p.Ring.Start.Or(90)), Anticlockwise: p.Ring.Turn.Value == job.Anticlockwise,
		}
	case p.Arc != nil:
		return p.Arc.Body, b.arc(*p.Arc)
	case p.Line != nil:
		return p.Line.Body, lamp.Line{
			Through: points(p.Line.Through), Closed: p.Line.Closed,
			Count: p.Line.Count.Value, SpacingMM: float64(p.Line.Spacing.Value),
		}
	case p.List != nil:
		return p.List.Body, b.table(*p.List)
	}
	return job.Body{}, nil
}

// straight works out the LEDs of a row or column, from the reach along it and the stray across it.
func (b *builder) straight(r job.Row, reach, stray units.Length, what, across string) (count int, pitchMM float64) {
	length := float64(reach)
	if r.Length.Given() {
		length = float64(r.Length.Value)
	} else if stray != 0 {
		b.add(report.Errorf("pattern", r.To.Where, "a %s keeps its %s, but it goes from %s = %s to %s", what, across, across, end(r, what, true), end(r, what, false)).
			Do("give both ends the same %s, or use a line through the two points", across))
	}
	if r.Count.Given() {
		count = r.Count.Value
		if count > 1 {
			pitchMM = length / float64(count-1)
		}
		return count, pitchMM
	}
	return b.spaced(math.Abs(length), float64(r.Spacing.Value), r.Spacing.Where, func(count int) float64 { return length / float64(max(count-1, 1)) })
}

func end(r job.Row, what string, from bool) units.Length {
	p := r.To.Value
	if from {
		p = r.From
	}
	if what == "row" {
		return p.Y
	}
	return p.X
}

// spaced counts the LEDs that a spacing makes over a length, both in mm. It refuses a spacing that leaves a rest.
func (b *builder) spaced(lengthMM, spacingMM float64, at report.Place, pitch func(count int) float64) (int, float64) {
	gaps := math.Round(lengthMM / spacingMM)
	const play = 0.05 // share of a gap by which a spacing may be off: common practice, no source
	if rest := lengthMM - gaps*spacingMM; gaps < 1 || math.Abs(rest) > play*spacingMM {
		whole := max(math.Floor(lengthMM/spacingMM), 1)
		b.add(report.Errorf("pattern", at, "a spacing of %s does not divide the length of %s", units.Length(spacingMM), units.Length(lengthMM)).
			Expect("such as %s for %s", units.Length(math.Round(lengthMM/whole*1000)/1000), report.Count(int(whole)+1, "LED")).
			Do("change the spacing or the length, or give a count instead"))
		return 2, spacingMM
	}
	n := int(gaps) + 1
	if n > job.LEDLimit {
		b.add(report.Errorf("limit", at, "the pattern holds too many LEDs").
			Against(report.Count(n, "LED"), report.Count(job.LEDLimit, "LED"), "limit of this program").Do("widen the spacing, or split the pattern"))
		n = 2
	}
	return n, pitch(n)
}

// arc turns angles counted from the right, anticlockwise, into those of the lamp.
func (b *builder) arc(a job.Arc) lamp.Pattern {
	sweep := float64(a.To - a.From)
	n := a.Count.Value
	if a.Spacing.Given() {
		n, _ = b.spaced(math.Abs(sweep)*math.Pi/180*float64(a.Radius), float64(a.Spacing.Value), a.Spacing.Where, func(int) float64 { return 0 })
	}
	return lamp.Arc{
		Centre: point(a.Centre), RadiusMM: float64(a.Radius), Count: n,
		StartDeg: fromTwelve(a.From), SweepDeg: math.Abs(sweep), Anticlockwise: sweep > 0,
	}
}

// fromTwelve turns an angle from the right, anticlockwise, into one from 12 o'clock, clockwise; both in degrees.
func fromTwelve(a units.Angle) float64 { return 90 - float64(a) }

func grouping(g job.Grouping) lamp.Grouping {
	by := map[job.GroupBy]lamp.GroupBy{
		job.ByEach: lamp.ByEach, job.ByAll: lamp.ByAll, job.ByCount: lamp.ByLEDs, job.ByColumns: lamp.ByColumns, job.ByRows: lamp.ByRows,
	}
	return lamp.Grouping{By: by[g.By], N: g.N}
}
