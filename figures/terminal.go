package figures

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"lampwright/lamp"
	"lampwright/units"
)

// Terminal draws frames with characters.
type Terminal struct {
	scene  *Scene
	colour bool
	cells  []cell // row by row
	cols   int
	rows   int
}

// TerminalOptions say how a terminal is to be drawn on.
type TerminalOptions struct {
	Columns int  // width, character cells
	Rows    int  // most height, character cells; 0: as high as the width asks for
	Colour  bool // 24-bit colours, two dots in a cell; else one character for the brightness of a cell
}

// cell is what can be seen in one character cell.
type cell struct {
	text rune       // of a name or title, or 0
	dots [2]dotLEDs // upper, lower
}

// dotLEDs are the groups whose LEDs lie in a dot, each with its number of LEDs there.
type dotLEDs struct {
	inside bool // within a lamp's outline
	leds   []ledShare
}

type ledShare struct {
	lamp, group int
	tint        rgb
	count       float64
}

// terminalPitch is the most room from LED to LED, dots: small lamps are not blown up beyond it.
const terminalPitch = 2

// terminalName is the room for a lamp's name, dots: a row, what is lost where the lamp ends within one, and one to settle.
const terminalName = 5

// NewTerminal lays lamps out for a terminal.
func NewTerminal(lamps []*lamp.Lamp, o TerminalOptions) *Terminal {
	columns := max(o.Columns, 20)
	t := &Terminal{colour: o.Colour, cols: columns}
	t.scene = Arrange(lamps, Sheet{Width: float64(columns), Height: float64(2 * o.Rows), Char: 1, Line: 2, Pitch: terminalPitch, Name: terminalName})
	t.rows = int(math.Ceil(t.scene.Height/2)) + 2
	t.cells = make([]cell, t.cols*t.rows)
	for i := range t.scene.Lamps {
		p := &t.scene.Lamps[i]
		p.settle()
		if t.colour {
			t.outline(*p)
		} else {
			t.part(p)
		}
		for i, led := range p.LEDs {
			for _, at := range t.spots(*p, led.At) {
				if d := t.dot(*p, at); d != nil {
					d.add(p.Index, p.LEDs[i].Group, tintOf(led.Colour))
				}
			}
		}
	}
	for _, title := range t.scene.Titles {
		t.write(title.Text, int(title.X), int(title.Y/2))
	}
	for _, p := range t.scene.Lamps {
		name := p.Name
		row := t.below(p)
		// Rounded to the outside, so that the names of two hands stand as their lamps do.
		col := name.X - float64(utf8.RuneCountInString(name.Text))/2
		t.write(name.Text, int(math.Floor(col+onEdge)), row)
	}
	for t.rows > 1 && !t.used(t.rows-1) {
		t.rows--
	}
	t.rows++ // a blank one at the end
	return t
}

// used tells whether anything stands in a row.
func (t *Terminal) used(row int) bool {
	return slices.ContainsFunc(t.cells[row*t.cols:(row+1)*t.cols], func(c cell) bool { return !c.empty() })
}

// spots gives the dots that a LED lights: in colour a square of four where LEDs stand far enough apart, so that a lamp reads as a
// lit face; one in characters, so that LEDs can be counted.
func (t *Terminal) spots(p Placed, led lamp.Point) []spot {
	x, y := p.Dot(led)
	if !t.colour || p.PitchMM*p.scale < 0.9*terminalPitch {
		return []spot{{x, y}}
	}
	return []spot{{x - 0.5, y - 0.5}, {x + 0.5, y - 0.5}, {x - 0.5, y + 0.5}, {x + 0.5, y + 0.5}}
}

// spot is a place on the screen, dots.
type spot struct{ x, y float64 }

// dot is where a spot of a lamp falls.
func (t *Terminal) dot(p Placed, at spot) *dotLEDs {
	col, row := p.column(at.x), int(math.Floor(at.y+onEdge))
	if col < 0 || col >= t.cols || row < 0 || row >= 2*t.rows {
		return nil
	}
	return &t.cells[row/2*t.cols+col].dots[row%2]
}

func (d *dotLEDs) add(lampIndex, group int, tint rgb) {
	for i := range d.leds {
		if l := &d.leds[i]; l.lamp == lampIndex && l.group == group {
			l.count++
			return
		}
	}
	d.leds = append(d.leds, ledShare{lampIndex, group, tint, 1})
}

// outline marks the dots whose middle lies within the lamp's outline.
func (t *Terminal) outline(p Placed) {
	if len(p.Outline) < 3 {
		return
	}
	for y := math.Floor(p.min.y); y < p.max.y; y++ {
		for x := math.Floor(p.min.x); x < p.max.x; x++ {
			if d := t.dot(p, spot{x + 0.5, y + 0.5}); d != nil && within(p, x+0.5, y+0.5) {
				d.inside = true
			}
		}
	}
}

// within tells whether a dot lies inside the lamp's outline (even-odd rule).
func within(p Placed, x, y float64) bool {
	inside := false
	n := len(p.Outline)
	for i := range n {
		x1, y1 := p.Dot(p.Outline[i])
		x2, y2 := p.Dot(p.Outline[(i+1)%n])
		if (y1 > y) != (y2 > y) && x < x1+(x2-x1)*(y-y1)/(y2-y1) {
			inside = !inside
		}
	}
	return inside
}

func (t *Terminal) write(text string, col, row int) {
	col = min(max(col, 0), max(0, t.cols-utf8.RuneCountInString(text)))
	for _, r := range text {
		if col < t.cols && row < t.rows {
			t.cells[row*t.cols+col].text = r
		}
		col++
	}
}

// Rows is the height of a picture, character cells.
func (t *Terminal) Rows() int { return t.rows }

// Picture draws a frame: Rows lines, each ended by a line end. A line never ends in blanks.
func (t *Terminal) Picture(f Frame) string {
	var b strings.Builder
	for row := range t.rows {
		line := t.cells[row*t.cols : (row+1)*t.cols]
		if t.colour {
			colourLine(&b, line, f)
		} else {
			plainLine(&b, line, f)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// ramp is how bright a cell looks without colour, dark to full, in even steps of lightness. A cell with LEDs is never blank.
const ramp = ".:-=+*#%@"

// Ramp gives the characters of a picture without colour, from a dark LED to a LED wholly on.
func Ramp() string { return ramp }

func plainLine(b *strings.Builder, line []cell, f Frame) {
	var text []rune
	for _, c := range line {
		r := ' '
		if c.text != 0 {
			r = c.text
		} else if light, _, some := mean(f, c.dots[0].leds, c.dots[1].leds); some {
			step := units.Lightness(light) / 100 * float64(len(ramp)-1)
			// Any light at all is told from none.
			if r = rune(ramp[int(math.Round(step))]); light > 0 && r == rune(ramp[0]) {
				r = rune(ramp[1])
			}
		}
		text = append(text, r)
	}
	b.WriteString(strings.TrimRight(string(text), " "))
}

// mean gives the mean light of LEDs, and their mean tint weighted by it.
func mean(f Frame, parts ...[]ledShare) (light float64, tint rgb, some bool) {
	var count, sum float64
	var plain rgb
	for _, leds := range parts {
		for _, l := range leds {
			share := f.share(l.lamp, l.group)
			count += l.count
			sum += share * l.count
			tint = tint.plus(l.tint, share*l.count)
			plain = plain.plus(l.tint, l.count)
		}
	}
	if count == 0 {
		return 0, rgb{}, false
	}
	if sum == 0 {
		return 0, rgb{}.plus(plain, 1/count), true
	}
	return sum / count, rgb{}.plus(tint, 1/sum), true
}

// colourLine writes a row as half blocks: the upper dot is the letter's colour, the lower one its ground.
func colourLine(b *strings.Builder, line []cell, f Frame) {
	last := len(line)
	for last > 0 && line[last-1].empty() {
		last--
	}
	now := "" // the colours in force
	set := func(codes string) {
		if codes != now {
			b.WriteString("\x1b[0" + codes + "m")
			now = codes
		}
	}
	for _, c := range line[:last] {
		switch {
		case c.text != 0:
			set("")
			b.WriteRune(c.text)
		case c.empty():
			set("")
			b.WriteByte(' ')
		default:
			upper, lower := c.dots[0].colour(f), c.dots[1].colour(f)
			switch {
			case upper == "":
				set(";38;2" + lower)
				b.WriteRune('▄')
			case lower == "":
				set(";38;2" + upper)
				b.WriteRune('▀')
			default:
				set(";38;2" + upper + ";48;2" + lower)
				b.WriteRune('▀')
			}
		}
	}
	set("")
}

func (c cell) empty() bool { return c.text == 0 && !c.dots[0].seen() && !c.dots[1].seen() }

func (d dotLEDs) seen() bool { return d.inside || len(d.leds) > 0 }

// offLight is how much of its tint a dark LED shows, so that one sees where it is.
const offLight = 0.012

// colour gives ";r;g;b" of a dot, or "" for one outside every lamp.
func (d dotLEDs) colour(f Frame) string {
	if !d.seen() {
		return ""
	}
	light, tint, some := mean(f, d.leds)
	out := lens
	if some {
		out = flat(lens, tint, max(light, offLight))
	}
	c := out.encode()
	return fmt.Sprintf(";%d;%d;%d", c[0], c[1], c[2])
}

// Status is the line that belongs below a picture: the time, what is pressed, and what is unusual about the car and its modules.
func Status(f Frame) string {
	on := "nothing"
	if len(f.Pressed) > 0 {
		on = strings.Join(f.Pressed, ", ")
	}
	line := fmt.Sprintf("%8.3f s   on: %s", f.At.Seconds(), on)
	for _, part := range [][]string{f.Holding, f.unusual()} {
		if len(part) > 0 {
			line += "   " + strings.Join(part, ", ")
		}
	}
	return line
}
