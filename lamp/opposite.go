package lamp

import "slices"

// Opposite gives the opposite hand of the lamp under a new name: every x is
// negated, the side swapped, and the place moved to the other side of the
// vehicle's middle. LEDs, groups, zones and paths keep their names and order.
//
// Negation loses no bit, so the opposite hand of the opposite hand is the lamp
// itself, bit for bit. Zeros stay as they are, so that no -0 is ever printed.
// Nothing is shared with the original.
func (l *Lamp) Opposite(name string) *Lamp {
	o := *l
	o.Name = name
	o.Place.Side = l.Place.Side.Opposite()
	o.Place.At = reflect(l.Place.At)
	o.Outline = reflectAll(l.Outline)
	o.LEDs = slices.Clone(l.LEDs)
	for i := range o.LEDs {
		o.LEDs[i].At = reflect(o.LEDs[i].At)
	}
	o.Groups = slices.Clone(l.Groups)
	for i := range o.Groups {
		o.Groups[i].LEDs = slices.Clone(o.Groups[i].LEDs)
	}
	o.Zones = slices.Clone(l.Zones)
	for i := range o.Zones {
		o.Zones[i].Groups = slices.Clone(o.Zones[i].Groups)
	}
	o.Paths = slices.Clone(l.Paths)
	for i := range o.Paths {
		o.Paths[i].Points = reflectAll(o.Paths[i].Points)
	}
	return &o
}

func reflect(p Point) Point {
	if p.X != 0 {
		p.X = -p.X
	}
	return p
}

func reflectAll(points []Point) []Point {
	out := slices.Clone(points)
	for i := range out {
		out[i] = reflect(out[i])
	}
	return out
}
