package light

// Kind is the gesture of a stroke. The formulas stand at [Stroke].
type Kind int

const (
	Sweep    Kind = iota // lights progressively and stays
	Clear                // goes dark progressively and stays so
	Pass                 // a band moves through and leaves nothing behind
	Swing                // a band moves there and back
	FadeUp               // brightens everywhere alike and stays
	FadeDown             // darkens everywhere alike and stays
	Beat                 // up and down again, everywhere alike
	Hold                 // a steady light
	Scatter              // one part after another in a shuffled order
	Call                 // another routine
)

var kindNames = [...]string{"sweep", "clear", "pass", "swing", "fade up", "fade down", "beat", "hold", "scatter", "call"}

func (k Kind) String() string { return kindNames[k] }

// Travels tells whether the stroke needs a direction.
func (k Kind) Travels() bool { return k <= Swing }

// Meet says how a stroke meets what lies below it.
type Meet int

const (
	Over     Meet = iota // the stroke's light replaces what is below
	Brighter             // the brighter of the two
	Dimmer               // the dimmer of the two
)

var meetNames = [...]string{"over", "brighter", "dimmer"}

func (m Meet) String() string { return meetNames[m] }

// meet lays a stroke's lightness with a cover of 0..1 on what is below.
func (m Meet) meet(below, stroke, cover float64) float64 {
	switch m {
	case Brighter:
		stroke = max(below, stroke)
	case Dimmer:
		stroke = min(below, stroke)
	}
	return mix(below, stroke, cover)
}

// mix goes the share 0..1 of the way from a to b; both ends are exact.
func mix(a, b, share float64) float64 {
	switch {
	case share <= 0:
		return a
	case share >= 1:
		return b
	}
	return a + float64((b-a)*share)
}
