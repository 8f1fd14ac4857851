package figures

import (
	"math"
	"slices"

	"lampwright/lamp"
)

// A terminal has few dots: a lamp is moved by parts of one until its LEDs fall well.

// onEdge is how near to the edge of a dot a place counts as on it, dots: more than what adding up millimetres leaves.
const onEdge = 1e-6

// settle moves a lamp by at most half a dot, so that its middle falls on an edge or on the middle of a dot, whichever keeps its LEDs
// nearer to the middles of theirs; one in the very middle gets a dot. Then a symmetrical lamp looks symmetrical, and a lamp and its opposite hand look like reflections of
// each other.
func (p *Placed) settle() {
	middle := (p.min.x + p.max.x) / 2
	central := slices.ContainsFunc(p.LEDs, func(led lamp.LED) bool {
		x, _ := p.Dot(led.At)
		return math.Abs(x-middle) < onEdge
	})
	away := func(shift float64) (sum float64) {
		moved := *p
		moved.shift(shift)
		for _, led := range p.LEDs {
			x, _ := moved.Dot(led.At)
			sum += math.Abs(float64(moved.column(x)) + 0.5 - x)
		}
		return sum
	}
	edge, within := math.Round(middle)-middle, math.Floor(middle)+0.5-middle
	if central || away(within) < away(edge)-onEdge*float64(1+len(p.LEDs)) {
		p.shift(within)
	} else {
		p.shift(edge)
	}
}

func (p *Placed) shift(x float64) {
	p.min.x += x
	p.max.x += x
	p.Name.X += x
}

// column is the dot across in which a place falls. One on the edge between two dots falls outward from the lamp's middle: the two
// halves of a symmetrical lamp are rounded alike.
func (p *Placed) column(x float64) int {
	if middle := (p.min.x + p.max.x) / 2; x < middle-onEdge {
		return int(math.Ceil(x-onEdge)) - 1
	}
	return int(math.Floor(x + onEdge))
}

// part moves a lamp down by a little where that keeps more of its LEDs apart: a cell is two dots high, and two rows of LEDs in one
// could not be told apart. It goes no farther than the room of its name and half a pitch allow, so that no name comes onto a light.
func (t *Terminal) part(p *Placed) {
	apart := func(down float64) int {
		cells := map[[2]int]bool{}
		for _, led := range p.LEDs {
			x, y := p.Dot(led.At)
			cells[[2]int{p.column(x), int(math.Floor((y + down + onEdge) / 2))}] = true
		}
		return len(cells)
	}
	best, most := 0.0, apart(0)
	for down := partStep; down <= 1+p.PitchMM*p.scale/2; down += partStep {
		if n := apart(down); n > most {
			best, most = down, n
		}
	}
	p.min.y += best
	p.max.y += best
}

// partStep is how finely a lamp is moved, dots.
const partStep = 0.25

// below is the first row that a lamp leaves free for its name: in colour its outline is seen too.
func (t *Terminal) below(p Placed) int {
	if t.colour || len(p.LEDs) == 0 {
		return int(math.Ceil(p.max.y/2 - onEdge))
	}
	row := 0
	for _, led := range p.LEDs {
		_, y := p.Dot(led.At)
		row = max(row, int(math.Floor((y+onEdge)/2))+1)
	}
	return row
}
