package figures

import (
	"maps"
	"math"
	"slices"
	"strings"
)

// drop is some ink on a dot.
type drop struct {
	at    int // dot, counted row by row
	ink   rgb
	share float64 // of the dot that it covers
}

// drawBase notes the ink of what never changes: outlines, names and titles.
func (p *Picture) drawBase() {
	for _, l := range p.scene.Lamps {
		p.strokeOutline(l)
	}
	note := func(at int, ink rgb, share float64) { p.drawn = append(p.drawn, drop{at, ink, share}) }
	pen := pen{p.width, p.height, note}
	if title := p.scene.heading(p.options.Title, float64(p.width)); title != "" {
		pen.right(headFace, title, float64(p.width)-lineHeight, lineHeight/2, faint)
	}
	for _, t := range p.scene.Titles {
		pen.left(smallFace, t.Text, t.X, t.Y, faint)
	}
	for _, l := range p.scene.Lamps {
		pen.middle(smallFace, l.Name.Text, l.Name.X, l.Name.Y, writing)
	}
}

// heading gives as much of the job's title as stands to the right of the first view's name.
func (s *Scene) heading(title string, width float64) string {
	room := width - lineHeight
	if len(s.Titles) > 0 {
		room -= s.Titles[0].X + textWidth(smallFace, s.Titles[0].Text) + 2*charWidth
	}
	if textWidth(headFace, title) <= room {
		return title
	}
	letters := []rune(title)
	for n := len(letters) - 1; n >= fewestLetters; n-- {
		if cut := strings.TrimRight(string(letters[:n]), " ") + "…"; textWidth(headFace, cut) <= room {
			return cut
		}
	}
	return ""
}

// fewestLetters is the shortest piece of a title that still says something.
const fewestLetters = 4

// strokeOutline draws the outline as a line one dot wide, smooth at its edges.
func (p *Picture) strokeOutline(l Placed) {
	n := len(l.Outline)
	if n < 3 {
		return
	}
	cover := map[int]float64{}
	for i := range n {
		x1, y1 := l.Dot(l.Outline[i])
		x2, y2 := l.Dot(l.Outline[(i+1)%n])
		p.line(cover, x1, y1, x2, y2)
	}
	for _, at := range slices.Sorted(maps.Keys(cover)) {
		p.drawn = append(p.drawn, drop{at, edge, cover[at]})
	}
}

// line notes how much of each dot a line covers: all of it up to half a dot away, nothing from one and a half on.
func (p *Picture) line(cover map[int]float64, x1, y1, x2, y2 float64) {
	length := math.Hypot(x2-x1, y2-y1)
	for s := 0.0; s <= length+0.5; s += 0.5 {
		t := min(s/max(length, 1e-9), 1)
		x, y := x1+(x2-x1)*t, y1+(y2-y1)*t
		for row := int(math.Floor(y - 1)); row <= int(y+1); row++ {
			for col := int(math.Floor(x - 1)); col <= int(x+1); col++ {
				if row < 0 || row >= p.height || col < 0 || col >= p.width {
					continue
				}
				away := math.Hypot(float64(col)+0.5-x, float64(row)+0.5-y)
				if share := min(max(1.1-away, 0), 1); share > cover[row*p.width+col] {
					cover[row*p.width+col] = share
				}
			}
		}
	}
}
