package light

// Ease shapes the run of a stroke: it turns the share of time gone, 0..1, into
// the share of the way gone. All are 0 at 0 and 1 at 1 and never turn back.
type Ease int

const (
	Even        Ease = iota // u
	GentleStart             // u²
	GentleEnd               // u·(2 - u)
	Gentle                  // u²·(3 - 2u)
)

var easeNames = [...]string{"even", "gentle start", "gentle end", "gentle"}

func (e Ease) String() string { return easeNames[e] }

// Way gives the share of the way gone, 0..1, at a share of time u, 0..1.
// Shares outside are held at the ends.
func (e Ease) Way(u float64) float64 {
	switch {
	case u <= 0:
		return 0
	case u >= 1:
		return 1
	}
	switch e {
	case GentleStart:
		return u * u
	case GentleEnd:
		return u * (2 - u)
	case Gentle:
		return float64(u*u) * (3 - float64(2*u))
	}
	return u
}
