package job

import (
	"lampwright/source"
	"lampwright/units"
)

// Lamp is one lamp: drawn with its LEDs, or the opposite hand of one that is.
type Lamp struct {
	source.At
	// What the lamp is, in the builder's own words.
	Kind string `yaml:"kind,omitempty" long:"120"`
	// The lamp of which this is the opposite hand. Its place, outline, LEDs, zones, light paths and functions are reflected; the wiring is its own.
	OppositeHandOf source.Name `yaml:"opposite-hand-of,omitempty"`
	// Where on the car the lamp sits.
	Place *Place `yaml:"place,omitempty"`
	// A photograph of it, to lay under the drawing.
	Photo *Photo `yaml:"photo,omitempty"`
	// The edge of the lit face, as points in millimetres.
	Outline []Point `yaml:"outline,omitempty" least:"3" most:"2000"`
	// The LEDs, as patterns.
	LEDs []Pattern `yaml:"leds,omitempty" least:"1" most:"500"`
	// Named sets of groups.
	Zones source.Map[Zone] `yaml:"zones,omitempty"`
	// Drawn lines along which light can travel.
	Paths source.Map[Path] `yaml:"paths,omitempty"`
	// The road functions that the lamp serves.
	Functions *Functions `yaml:"functions,omitempty"`
}

// Place says where on the car a lamp sits.
type Place struct {
	source.At
	// Which end of the car.
	End End `yaml:"end,omitempty"`
	// Which side, by the driver's seat.
	Side Side `yaml:"side,omitempty"`
	// Centre of the lamp's face: to the driver's right of the car's middle, and above the ground.
	Centre source.Of[Position] `yaml:"at,omitempty"`
}

// End is an end of the car.
type End string

// Ends.
const (
	Rear  End = "rear"
	Front End = "front"
)

// Words lists the ends.
func (End) Words() []string { return []string{string(Rear), string(Front)} }

// Side is a side of the car, by the driver's seat.
type Side string

// Sides.
const (
	LH     Side = "LH"
	RH     Side = "RH"
	Centre Side = "centre"
)

// Words lists the sides.
func (Side) Words() []string { return []string{string(LH), string(RH), string(Centre)} }

// Zone is a named set of groups. A list of names alone is the short form.
type Zone struct {
	source.At
	// What belongs to it: patterns, groups or zones of the same lamp. Unless given, the whole lamp.
	With source.OneOrMany[Region]
	// What is taken out of it again.
	Without source.OneOrMany[Region]
	// Of these, only the groups of this colour.
	Colour source.Of[Colour]
}

// zoneKeys is the long form of a zone.
type zoneKeys struct {
	source.At
	// What belongs to it: patterns, groups or zones of the same lamp. Unless given, the whole lamp.
	With source.OneOrMany[Region] `yaml:"with,omitempty" least:"1"`
	// What is taken out of it again.
	Without source.OneOrMany[Region] `yaml:"without,omitempty"`
	// Of these, only the groups of this colour.
	Colour source.Of[Colour] `yaml:"colour,omitempty"`
}

// DecodeSource reads either form.
func (z *Zone) DecodeSource(v source.Value) {
	if v.Kind() != source.Mapping {
		z.Where = v.Place()
		v.Into(&z.With)
		return
	}
	var keys zoneKeys
	v.Into(&keys)
	*z = Zone(keys)
}

// Path is a drawn line through a lamp along which light can travel.
type Path struct {
	source.At
	// The points of the line in millimetres, in the order of travel.
	Through []Point `yaml:"through" least:"2" most:"2000"`
	// Whether the line returns from its last point to its first.
	Closed bool `yaml:"closed,omitempty"`
}

// Functions lists the road functions that a lamp serves.
type Functions struct {
	source.At
	// Turn signal.
	Turn *Function `yaml:"turn,omitempty"`
	// Stop lamp.
	Stop *Function `yaml:"stop,omitempty"`
	// Tail lamp.
	Tail *Function `yaml:"tail,omitempty"`
	// Reverse lamp.
	Reverse *Function `yaml:"reverse,omitempty"`
	// Daytime running lamp.
	DRL *Function `yaml:"drl,omitempty"`
	// Fog lamp.
	Fog *Function `yaml:"fog,omitempty"`
	// Side marker lamp.
	SideMarker *Function `yaml:"side-marker,omitempty"`
	// Parking lamp.
	Park *Function `yaml:"park,omitempty"`
}

// NamedFunction is a function with its key.
type NamedFunction struct {
	Name string
	*Function
}

// All lists the functions that are written, in a fixed order.
func (f *Functions) All() (all []NamedFunction) {
	if f == nil {
		return nil
	}
	for _, n := range []NamedFunction{
		{"turn", f.Turn}, {"stop", f.Stop}, {"tail", f.Tail}, {"reverse", f.Reverse},
		{"drl", f.DRL}, {"fog", f.Fog}, {"side-marker", f.SideMarker}, {"park", f.Park},
	} {
		if n.Function != nil {
			all = append(all, n)
		}
	}
	return all
}

// Function says which part of a lamp serves a road function.
type Function struct {
	source.At
	// The zone, pattern or groups that serve it.
	Zone source.OneOrMany[Region] `yaml:"zone" least:"1"`
	// True when it replaces the car's own lamp; otherwise it is an extra beside it.
	Required bool `yaml:"required,omitempty"`
}

// Position is a point of the car. Both numbers carry their unit.
type Position struct{ X, Y units.Length }

// DecodeSource reads [x, y].
func (p *Position) DecodeSource(v source.Value) {
	const expected = "two lengths with their units, as in [-720 mm, 900 mm]"
	items, ok := pair(v, expected)
	if !ok {
		return
	}
	items[0].Into(&p.X)
	items[1].Into(&p.Y)
}
