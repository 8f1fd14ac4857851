package lamp

import (
	"strings"

	"lampwright/report"
)

// Heading is where a stroke of light travels.
type Heading int

// Left and right are the driver's, at both ends of the vehicle. Inboard and
// outboard follow the side of the lamp. The headings from outward on are taken
// about the centre of the region they are used on.
const (
	Inboard Heading = iota
	Outboard
	Left
	Right
	Up
	Down
	Outward
	Inward
	Clockwise
	Anticlockwise
	AlongPath
)

var headingNames = [...]string{"inboard", "outboard", "left", "right", "up", "down",
	"outward", "inward", "clockwise", "anticlockwise", "along"}

func (h Heading) String() string { return headingNames[h] }

// Mirrors tells whether the heading is reflected with the lamp: a stroke on the
// opposite hand is then the exact reflection of the stroke on the lamp. Left
// and right are directions on the vehicle and do not follow the hand.
func (h Heading) Mirrors() bool { return h != Left && h != Right }

// Direction is a heading, or a light path to go along.
type Direction struct {
	Heading Heading
	Path    string // name of the light path; only with AlongPath
	Back    bool   // from the end of the path to its start; only with AlongPath
}

// ParseDirection reads one of the headings, "along edge" or "back along edge",
// where edge is the name of a light path.
func ParseDirection(text string) (Direction, error) {
	words := strings.Fields(text)
	switch {
	case len(words) == 1:
		for i, name := range headingNames[:AlongPath] {
			if words[0] == name {
				return Direction{Heading: Heading(i)}, nil
			}
		}
	case len(words) == 2 && words[0] == "along":
		return Direction{Heading: AlongPath, Path: words[1]}, nil
	case len(words) == 3 && words[0] == "back" && words[1] == "along":
		return Direction{Heading: AlongPath, Path: words[2], Back: true}, nil
	}
	return Direction{}, report.Errorf("direction", report.Place{}, "%q is not a direction", text).
		Expect("%s, along <path> or back along <path>", strings.Join(headingNames[:AlongPath], ", ")).
		DidYouMean(text, headingNames[:AlongPath])
}

// String gives the form that ParseDirection reads.
func (d Direction) String() string {
	switch {
	case d.Heading != AlongPath:
		return d.Heading.String()
	case d.Back:
		return "back along " + d.Path
	}
	return "along " + d.Path
}
