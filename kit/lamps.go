package kit

import (
	"slices"

	"lampwright/job"
	"lampwright/lamp"
	"lampwright/parts"
	"lampwright/report"
	"lampwright/source"
)

// lamps makes every lamp of the document: first those that are drawn, then their opposite hands.
func (b *builder) lamps() {
	entries := b.doc.Lamps.Entries()
	made := map[string]*Lamp{}
	total := 0
	for _, e := range entries {
		if !e.Value.OppositeHandOf.Given() {
			made[e.Name.Text] = b.drawn(e)
			total += len(made[e.Name.Text].LEDs)
		}
	}
	for _, e := range entries {
		if !e.Value.OppositeHandOf.Given() {
			continue
		}
		of := e.Value.OppositeHandOf
		original, ok := made[of.Text]
		switch {
		case ok && original.OppositeOf != "", !ok && slices.Contains(b.doc.Lamps.Keys(), of.Text):
			b.add(report.Errorf("opposite-hand", of.Where, "%q is itself an opposite hand", of.Text).
				Because("a lamp is drawn once and reflected once").Do("name the lamp that is drawn"))
			continue
		case !ok:
			b.unknown("lamp", of.Text, of.Where, b.doc.Lamps.Keys(), nil)
			continue
		case original.Place.Side == lamp.Centre:
			b.add(report.Errorf("opposite-hand", of.Where, "%q sits in the centre and has no opposite hand", of.Text).
				Do("place it at a side, or draw this lamp by itself"))
			continue
		}
		made[e.Name.Text] = b.opposite(e, original)
		total += len(original.LEDs)
	}
	for _, e := range entries {
		if l := made[e.Name.Text]; l != nil {
			b.kit.Lamps = append(b.kit.Lamps, l)
		}
	}
	if total > lamp.MaxLEDs {
		b.add(report.Errorf("limit", b.doc.Lamps.Where, "the job holds too many LEDs").
			Against(report.Count(total, "LED"), report.Count(lamp.MaxLEDs, "LED"), "limit of this program").Do("split the job"))
	}
}

var ends = map[job.End]lamp.End{job.Rear: lamp.Rear, job.Front: lamp.Front}
var sides = map[job.Side]lamp.Side{job.LH: lamp.LH, job.RH: lamp.RH, job.Centre: lamp.Centre}

// drawn makes a lamp from its own drawing.
func (b *builder) drawn(e source.Entry[job.Lamp]) *Lamp {
	v := e.Value
	l := &Lamp{Lamp: &lamp.Lamp{Name: e.Name.Text, Outline: points(v.Outline)}, Kind: v.Kind, At: e.Name.Where}
	if v.Place != nil {
		l.Place = lamp.Place{End: ends[v.Place.End], Side: sides[v.Place.Side], At: position(v.Place)}
	}
	if v.Photo != nil {
		b.photo(l, v.Photo)
	}
	b.patterns(l, v.LEDs)
	if b.list.HasErrors() && len(l.LEDs) == 0 {
		return l
	}
	for _, z := range v.Zones.Entries() {
		if _, taken := l.Zone(z.Name.Text); taken {
			b.add(report.Errorf("name-twice", z.Name.Where, "lamp %s has a pattern called %q, which makes a zone of that name", l.Name, z.Name.Text).
				Do("give the zone another name, or delete it when it means the same groups"))
			continue
		}
		if groups, ok := b.pick(l, z.Value.With, z.Value.Without, string(z.Value.Colour.Value), z.Name.Where); ok {
			l.AddZone(z.Name.Text, groups)
		} else {
			l.lost = append(l.lost, z.Name.Text)
		}
	}
	for _, p := range v.Paths.Entries() {
		l.Paths = append(l.Paths, lamp.Path{Name: p.Name.Text, Points: points(p.Value.Through), Closed: p.Value.Closed})
	}
	for _, f := range v.Functions.All() {
		if groups, ok := b.pick(l, f.Zone, source.OneOrMany[job.Region]{}, "", f.Where); ok {
			l.Functions = append(l.Functions, Function{Name: f.Name, Groups: groups, Required: f.Required, At: f.Where})
		}
	}
	for _, d := range l.Check() {
		d.Place = placeIn(v, d.ID)
		b.placed(report.List{d}, l.At)
	}
	return l
}

// photo resolves the photograph under a drawing. Whether its file is there is seen when it is shown.
func (b *builder) photo(l *Lamp, p *job.Photo) {
	l.Photo = &Photo{File: p.File}
	for _, k := range p.Known {
		l.Photo.Known = append(l.Photo.Known, KnownPoint{lamp.Point{X: k.Pixel.X, Y: k.Pixel.Y}, points([]job.Point{k.Point})[0]})
	}
	if len(p.Known) == 3 {
		b.add(report.Errorf("photo-points", p.PlaceOf("known"), "three known points fix no picture").
			Because("two give its scale and turn, four its perspective").Expect("two or four points").Do("add a fourth, or take one away"))
	}
}

// placeIn gives the place within a lamp that a fault of its geometry is about, or none.
func placeIn(v job.Lamp, id string) report.Place {
	switch {
	case id == "outline":
		return v.PlaceOf("outline")
	case id == "side-place" && v.Place != nil:
		return v.Place.PlaceOf("at")
	}
	return report.Place{}
}

// opposite makes the opposite hand of a lamp.
func (b *builder) opposite(e source.Entry[job.Lamp], of *Lamp) *Lamp {
	l := &Lamp{Lamp: of.Opposite(e.Name.Text), Kind: of.Kind, OppositeOf: of.Name, At: e.Name.Where, lost: of.lost, unnamed: of.unnamed}
	if e.Value.Kind != "" {
		l.Kind = e.Value.Kind
	}
	for _, f := range of.Functions {
		f.Groups = slices.Clone(f.Groups)
		l.Functions = append(l.Functions, f)
	}
	if p := e.Value.Place; p != nil {
		if p.Has("side") && sides[p.Side] != l.Place.Side {
			b.add(report.Errorf("opposite-hand", p.PlaceOf("side"), "the opposite hand of a lamp at %s sits at %s", of.Place.Side, l.Place.Side).
				Do("leave side: out"))
		}
		if p.Has("end") && ends[p.End] != l.Place.End {
			b.add(report.Errorf("opposite-hand", p.PlaceOf("end"), "the opposite hand sits at the same end, %s", of.Place.End).Do("leave end: out"))
		}
		if p.Has("at") {
			l.Place.At = position(p)
		}
		b.placed(l.Check(), l.At)
	}
	return l
}

// pick finds the groups of a zone expression.
func (b *builder) pick(l *Lamp, with, without source.OneOrMany[job.Region], colour string, at report.Place) ([]int, bool) {
	pick := lamp.Pick{Colour: colour}
	ok := true
	terms := func(regions []job.Region) (out []lamp.Term) {
		for _, r := range regions {
			t := term(r.Names[len(r.Names)-1], r.Part)
			if l.excused(t.Zone) {
				ok = false
				continue
			}
			if _, wrong := l.Pick(lamp.Pick{With: []lamp.Term{t}}); len(wrong) > 0 {
				b.placed(wrong, r.Where)
				ok = false
			}
			out = append(out, t)
		}
		return out
	}
	pick.With, pick.Without = terms(with.Items), terms(without.Items)
	if !ok || len(pick.With) == 0 && !l.whole() {
		return nil, false
	}
	groups, wrong := l.Pick(pick)
	b.placed(wrong, at)
	return groups, len(wrong) == 0
}

// term turns a region's name and part into the term of a lamp.
func term(name string, part *job.Run) lamp.Term {
	t := lamp.Term{Zone: name}
	if part != nil {
		t.From, t.To = min(part.First, part.Last), max(part.First, part.Last)
	}
	return t
}

// colourOf finds the colour of an LED part: the builder's own names first, then the catalogue.
func (b *builder) colourOf(part source.Name) string {
	if own, ok := b.doc.Parts.Get(part.Text); ok {
		return string(own.Colour)
	}
	if p, ok := parts.Find(part.Text); ok {
		return p.Colour
	}
	b.unknown("LED part", part.Text, part.Where, append(b.doc.Parts.Keys(), parts.Names()...), nil)
	return ""
}

func points(from []job.Point) []lamp.Point {
	var out []lamp.Point
	for _, p := range from {
		out = append(out, point(p))
	}
	return out
}

func point(p job.Point) lamp.Point { return lamp.Point{X: float64(p.X), Y: float64(p.Y)} }

func position(p *job.Place) lamp.Point {
	return lamp.Point{X: float64(p.Centre.Value.X), Y: float64(p.Centre.Value.Y)}
}
