package lamp

// MaxLEDs is the most LEDs that one lamp may have. It bounds memory and time
// when a count is mistyped; hand-wired lamps have hundreds.
const MaxLEDs = 20000

// End is the end of the vehicle at which a lamp is fitted.
type End int

const (
	Rear End = iota
	Front
)

func (e End) String() string { return [...]string{"rear", "front"}[e] }

// Side is the side of the vehicle at which a lamp is fitted, by the driver's seat.
type Side int

const (
	Centre Side = iota
	LH
	RH
)

func (s Side) String() string { return [...]string{"centre", "LH", "RH"}[s] }

// Opposite is the other side; the centre is its own opposite.
func (s Side) Opposite() Side {
	switch s {
	case LH:
		return RH
	case RH:
		return LH
	}
	return Centre
}

// Place says where a lamp sits on the vehicle.
type Place struct {
	End  End
	Side Side
	At   Point // centre of the face: x to the right of the driver, y up, seen from behind, mm
}

// LED is one light source.
type LED struct {
	ID     string // unique in the lamp, such as "arrow/17"
	At     Point  // in the lamp's own plane, mm
	Part   string // name in the catalogue
	Colour string // as the catalogue calls it
	Group  int    // index into Lamp.Groups
}

// Group is a set of LEDs that one output switches together.
type Group struct {
	Name string // unique in the lamp, such as "arrow.3"
	LEDs []int  // indices into Lamp.LEDs, in layout order
}

// Zone is a named set of groups.
type Zone struct {
	Name   string
	Groups []int // indices into Lamp.Groups, ascending: the layout order
}

// Lamp is one lamp as drawn. Its slices belong to it; treat it as read-only
// once it is complete.
type Lamp struct {
	Name    string
	Place   Place
	Outline []Point // closed polygon, last point not repeated, mm; empty if not drawn
	LEDs    []LED
	Groups  []Group
	Zones   []Zone
	Paths   []Path
}

// Zone finds a zone by name.
func (l *Lamp) Zone(name string) (Zone, bool) {
	for _, z := range l.Zones {
		if z.Name == name {
			return z, true
		}
	}
	return Zone{}, false
}

// Path finds a light path by name.
func (l *Lamp) Path(name string) (Path, bool) {
	for _, p := range l.Paths {
		if p.Name == name {
			return p, true
		}
	}
	return Path{}, false
}

// GroupNamed gives the index of a group, or -1.
func (l *Lamp) GroupNamed(name string) int {
	for i, g := range l.Groups {
		if g.Name == name {
			return i
		}
	}
	return -1
}

// LEDsOf gives the LEDs of groups, in the order of the groups given.
func (l *Lamp) LEDsOf(groups []int) []int {
	var leds []int
	for _, g := range groups {
		leds = append(leds, l.Groups[g].LEDs...)
	}
	return leds
}

// GroupColour gives the one colour of a group. Check reports groups of mixed
// colour; for those it is the colour of the first LED.
func (l *Lamp) GroupColour(group int) string {
	for _, led := range l.Groups[group].LEDs {
		return l.LEDs[led].Colour
	}
	return ""
}

// positions gives the places of LEDs in the lamp's plane, mm; nil means all.
func (l *Lamp) positions(leds []int) []Point {
	if leds == nil {
		points := make([]Point, len(l.LEDs))
		for i := range l.LEDs {
			points[i] = l.LEDs[i].At
		}
		return points
	}
	points := make([]Point, len(leds))
	for i, led := range leds {
		points[i] = l.LEDs[led].At
	}
	return points
}

// BoundsOf gives the box around LEDs in the lamp's plane, mm; nil means all
// LEDs. It is false if there are none.
func (l *Lamp) BoundsOf(leds []int) (Box, bool) { return BoxOf(l.positions(leds)) }

// Bounds gives the box around the outline, or around the LEDs of a lamp
// without an outline, in the lamp's plane, mm.
func (l *Lamp) Bounds() (Box, bool) {
	if len(l.Outline) > 0 {
		return BoxOf(l.Outline)
	}
	return l.BoundsOf(nil)
}
