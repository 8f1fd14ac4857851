package lamp

import (
	"strconv"

	"lampwright/report"
)

// Block is a pattern unrolled: LEDs in layout order and the groups they form.
// LED and group numbers count from 0 within the block.
type Block struct {
	Name    string
	LEDs    []LED
	Groups  []Group
	Path    Path    // the line on which the LEDs stand in order; no points for a single LED, a list or a grid
	PitchMM float64 // arc length between neighbours on the path, mm; 0 without path
}

// Unroll lays a pattern and cuts it into groups. Groups are named name.1 to
// name.n, LEDs name/1 to name/n, both in layout order. A pattern that leaves a
// part group is refused with the counts that would fit.
func Unroll(name string, p Pattern, by Grouping, part, colour string) (Block, report.List) {
	out, wrong := p.lay(by.By == ByRows)
	for i := range wrong {
		wrong[i].Text = name + ": " + wrong[i].Text
	}
	if len(wrong) > 0 {
		return Block{}, wrong
	}
	line := out.rows // LEDs in a column
	if by.By == ByRows {
		line = out.columns
	}
	size, problem := by.size(len(out.points), line)
	if problem != nil {
		problem.Text = name + ": " + problem.Text
		return Block{}, report.List{*problem}
	}
	b := Block{Name: name, Path: out.path, PitchMM: out.pitchMM}
	b.Path.Name = name
	for i, at := range out.points {
		if i%size == 0 {
			b.Groups = append(b.Groups, Group{Name: name + "." + strconv.Itoa(len(b.Groups)+1)})
		}
		group := len(b.Groups) - 1
		b.Groups[group].LEDs = append(b.Groups[group].LEDs, i)
		b.LEDs = append(b.LEDs, LED{ID: name + "/" + strconv.Itoa(i+1), At: at, Part: part, Colour: colour, Group: group})
	}
	return b, nil
}

// Add appends a block to the lamp as a zone of the block's name, and its path,
// if it has one, as a light path of the same name.
func (l *Lamp) Add(b Block) {
	firstLED, firstGroup := len(l.LEDs), len(l.Groups)
	for _, led := range b.LEDs {
		led.Group += firstGroup
		l.LEDs = append(l.LEDs, led)
	}
	zone := Zone{Name: b.Name}
	for i, g := range b.Groups {
		leds := make([]int, len(g.LEDs))
		for j, led := range g.LEDs {
			leds[j] = led + firstLED
		}
		l.Groups = append(l.Groups, Group{Name: g.Name, LEDs: leds})
		zone.Groups = append(zone.Groups, firstGroup+i)
	}
	l.Zones = append(l.Zones, zone)
	if len(b.Path.Points) > 0 {
		l.Paths = append(l.Paths, b.Path)
	}
}
