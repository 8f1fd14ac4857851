package figures

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"lampwright/lamp"
)

// WriteSVG writes a frame as one SVG file that stands alone (W3C SVG 1.1, and mix-blend-mode where a viewer knows it): lamps,
// light, names, the time and what is pressed.
func WriteSVG(w io.Writer, lamps []*lamp.Lamp, o PictureOptions, f Frame) error {
	if o.Width == 0 {
		o.Width = DefaultWidth
	}
	o.Width = min(max(o.Width, MinWidth), MaxWidth)
	room := float64(o.Width)
	s := Arrange(lamps, Sheet{Width: room, Height: room * heightShare, Char: charWidth, Line: lineHeight, Pitch: mostPitch})
	width := max(int(math.Ceil(s.Width)), MinWidth)
	c := newCaption(o, width, int(math.Ceil(s.Height)))
	out := svg{bufio.NewWriter(w)}
	out.printf(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" font-family="Go, 'DejaVu Sans', Helvetica, Arial, sans-serif" font-size="13">`+"\n",
		width, c.bottom, width, c.bottom)
	title := o.Title
	if title == "" {
		title = "lamps"
	}
	out.printf("<title>%s at %s</title>\n", escape(title), f.At)
	out.printf(`<rect width="%d" height="%d" fill="%s"/>`+"\n", width, c.bottom, code(ground))
	names, _ := coloursOf(s)
	out.halos(names)
	for _, l := range s.Lamps {
		out.lamp(l, names, f)
	}
	if heading := s.heading(o.Title, float64(width)); heading != "" {
		out.text(float64(width)-lineHeight, lineHeight/2, "end", faint, heading)
	}
	for _, t := range s.Titles {
		out.text(t.X, t.Y, "start", faint, t.Text)
	}
	for _, l := range s.Lamps {
		out.text(l.Name.X, l.Name.Y, "middle", writing, l.Name.Text)
	}
	out.text(lineHeight+textWidth(clockFace, "0000.000 s"), float64(c.top)+lineHeight-8, "end", writing, fmt.Sprintf("%.3f s", f.At.Seconds()))
	for _, place := range c.places {
		colour, fill := faint, "none"
		if slices.Contains(f.Pressed, place.name) {
			colour, fill = writing, code(writing)
		}
		out.printf(`<circle cx="%s" cy="%s" r="%s" fill="%s" stroke="%s"/>`+"\n", number(place.x), number(place.y), number(markRadius), fill, code(colour))
		out.text(place.x+markRadius+markGap, place.y-8, "start", colour, place.name)
	}
	out.printf("</svg>\n")
	return out.w.Flush()
}

type svg struct{ w *bufio.Writer }

func (s svg) printf(format string, args ...any) { fmt.Fprintf(s.w, format, args...) }

// halos defines one round glow for each colour.
func (s svg) halos(names []string) {
	s.printf("<defs>\n")
	for i, name := range names {
		tint := code(tintOf(name))
		s.printf(`<radialGradient id="halo%d"><stop offset="0" stop-color="%s" stop-opacity="0.34"/>`+
			`<stop offset="0.35" stop-color="%s" stop-opacity="0.12"/><stop offset="1" stop-color="%s" stop-opacity="0"/></radialGradient>`+"\n", i, tint, tint, tint)
	}
	s.printf("</defs>\n")
}

func (s svg) lamp(l Placed, names []string, f Frame) {
	s.printf("<g id=\"%s\">\n", escape("lamp-"+l.Lamp.Name))
	if len(l.Outline) >= 3 {
		points := make([]string, len(l.Outline))
		for i, at := range l.Outline {
			x, y := l.Dot(at)
			points[i] = number(x) + "," + number(y)
		}
		s.printf(`<polygon points="%s" fill="none" stroke="%s"/>`+"\n", strings.Join(points, " "), code(edge))
	}
	pitch := min(max(l.PitchMM*l.scale, 2.5), mostPitch)
	s.printf("<g style=\"mix-blend-mode:screen\">\n")
	for _, led := range l.LEDs {
		if light := f.share(l.Index, led.Group); light > 0 {
			x, y := l.Dot(led.At)
			s.printf(`<circle cx="%s" cy="%s" r="%s" fill="url(#halo%d)" opacity="%s"/>`+"\n",
				number(x), number(y), number(2.4*pitch), slices.Index(names, led.Colour), number(math.Sqrt(light)))
		}
	}
	s.printf("</g>\n")
	for _, led := range l.LEDs {
		x, y := l.Dot(led.At)
		light := max(f.share(l.Index, led.Group), offLight)
		s.printf(`<circle cx="%s" cy="%s" r="%s" fill="%s"/>`+"\n", number(x), number(y), number(0.34*pitch), code(shown(ground, tintOf(led.Colour), light)))
	}
	s.printf("</g>\n")
}

// text sets a line whose upper edge is at y.
func (s svg) text(x, y float64, anchor string, colour rgb, text string) {
	s.printf(`<text x="%s" y="%s" text-anchor="%s" fill="%s">%s</text>`+"\n", number(x), number(y+12), anchor, code(colour), escape(text))
}

func code(c rgb) string {
	b := c.encode()
	return fmt.Sprintf("#%02x%02x%02x", b[0], b[1], b[2])
}

// number writes a length to a hundredth of a dot.
func number(v float64) string {
	text := strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

func escape(text string) string {
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(text)); err != nil {
		return ""
	}
	return b.String()
}
