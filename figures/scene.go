package figures

import (
	"cmp"
	"math"
	"slices"
	"unicode/utf8"

	"lampwright/lamp"
)

// Labels have a fixed size in dots, so the scale depends on the room they leave and the layout is done again with the scale
// it led to. It settles within a few rounds; where it swings (side by side at one scale, in place at another), it is made
// smaller step by step. A sheet too small for its labels alone is overrun.
const (
	layoutRounds = 8
	shrinkRounds = 40
	shrink       = 0.93
)

// block is a lamp with the room for its name below it, in millimetres on the sheet, y down.
type block struct {
	index         int
	lamp          *lamp.Lamp
	box           lamp.Box // of the lamp in its own plane
	x, y          float64  // upper left corner
	width, height float64  // with the name
	along         float64  // place of the centre along the view, for the order side by side
}

// Arrange lays lamps out on a sheet. Lamps without an LED or an outline are left out.
func Arrange(lamps []*lamp.Lamp, sheet Sheet) *Scene {
	pitch := math.Inf(1)
	pitches := make([]float64, len(lamps))
	for i, l := range lamps {
		pitches[i] = pitchOf(l)
		pitch = min(pitch, pitches[i])
	}
	most := sheet.Pitch / pitch // dots/mm
	scale := most
	s := layOut(lamps, pitches, sheet, scale)
	for range layoutRounds {
		next := min(most, scale*sheet.Width/s.Width)
		if sheet.Height > 0 {
			next = min(next, scale*sheet.Height/s.Height)
		}
		if next == scale {
			break
		}
		scale = next
		s = layOut(lamps, pitches, sheet, scale)
	}
	for range shrinkRounds {
		if s.Width <= sheet.Width*slack && (sheet.Height == 0 || s.Height <= sheet.Height*slack) {
			break
		}
		scale *= shrink
		s = layOut(lamps, pitches, sheet, scale)
	}
	return s
}

// slack is how far a scene may overrun its sheet: what rounding leaves.
const slack = 1.001

// layOut makes the scene at a scale.
func layOut(lamps []*lamp.Lamp, pitches []float64, sheet Sheet, scale float64) *Scene {
	s := &Scene{Scale: scale, sheet: sheet}
	char, line, name := sheet.Char/scale, sheet.Line/scale, sheet.nameRoom()/scale // mm
	y := line / 2
	var views [][]block
	var widest float64
	for _, end := range []lamp.End{lamp.Rear, lamp.Front} {
		blocks := blocksOf(lamps, end, char, name)
		if len(blocks) == 0 {
			continue
		}
		if sink(blocks); collide(blocks) {
			flow(blocks, 2*char)
		} else {
			squeeze(blocks, 3*line)
		}
		views = append(views, blocks)
		widest = max(widest, extent(blocks).Width())
	}
	s.Width = (widest + 2*line) * scale
	for _, blocks := range views {
		title := "rear, seen from behind"
		if blocks[0].lamp.Place.End == lamp.Front {
			title = "front, seen from the front"
		}
		room := extent(blocks)
		s.Titles = append(s.Titles, Label{title, line * scale, y * scale})
		s.Width = max(s.Width, float64(utf8.RuneCountInString(title))*sheet.Char+2*sheet.Line)
		y += 1.5 * line
		left := line + (widest-room.Width())/2 - room.Min.X
		for _, b := range blocks {
			s.Lamps = append(s.Lamps, place(b, pitches[b.index], left+b.x, y+b.y-room.Min.Y, sheet, scale))
		}
		y += room.Height() + line/2
	}
	s.Height = y * scale
	slices.SortFunc(s.Lamps, func(a, b Placed) int { return cmp.Compare(a.Index, b.Index) })
	return s
}

// place puts a block's lamp in the middle of the block, with its name below.
func place(b block, pitchMM, x, y float64, sheet Sheet, scale float64) Placed {
	p := Placed{Lamp: b.lamp, Index: b.index, PitchMM: pitchMM, at: b.box, scale: scale}
	p.min.x = (x + (b.width-b.box.Width())/2) * scale
	p.min.y = y * scale
	p.max.x, p.max.y = p.min.x+b.box.Width()*scale, p.min.y+b.box.Height()*scale
	p.Name = Label{shortName(b.lamp.Name), (x + b.width/2) * scale, p.max.y + sheet.Line*nameGap}
	return p
}

// nameGap is the share of a line between a lamp and its name.
const nameGap = 0.25

// mostName is how many letters of a lamp's name are written: a longer one would leave no room for the light.
const mostName = 22

// shortName leaves out the middle of a long name, for its end tells LH from RH.
func shortName(name string) string {
	letters := []rune(name)
	if len(letters) <= mostName {
		return name
	}
	const head = mostName / 2
	return string(letters[:head]) + "…" + string(letters[len(letters)-(mostName-head-1):])
}

// blocksOf gives the lamps of one end of the vehicle at their true places in the view.
func blocksOf(lamps []*lamp.Lamp, end lamp.End, char, name float64) []block {
	var blocks []block
	for i, l := range lamps {
		box, ok := boundsOf(l)
		if l.Place.End != end || !ok {
			continue
		}
		centre := l.Place.At.X
		if end == lamp.Front {
			centre = -centre // who faces the front sees the driver's left at his right
		}
		width := max(box.Width(), char*float64(utf8.RuneCountInString(shortName(l.Name))+2))
		blocks = append(blocks, block{
			index: i, lamp: l, box: box, along: centre,
			x: centre - width/2, y: -l.Place.At.Y - box.Height()/2,
			width: width, height: box.Height() + name,
		})
	}
	return blocks
}

// boundsOf is the box around outline and LEDs, with half a LED pitch around the LEDs, so that none is cut.
func boundsOf(l *lamp.Lamp) (lamp.Box, bool) {
	box, ok := l.Bounds()
	leds, some := l.BoundsOf(nil)
	if !some {
		return box, ok
	}
	edge := pitchOf(l) / 2
	return lamp.Box{
		Min: lamp.Point{X: min(box.Min.X, leds.Min.X-edge), Y: min(box.Min.Y, leds.Min.Y-edge)},
		Max: lamp.Point{X: max(box.Max.X, leds.Max.X+edge), Y: max(box.Max.Y, leds.Max.Y+edge)},
	}, true
}

// sink moves lamps down that stand below another one, nearer to it than its name is high, until the name has its room: two strips one
// over the other stay where they are on the vehicle. Lamps that mostly cover one another are left for flow.
func sink(blocks []block) {
	slices.SortStableFunc(blocks, func(a, b block) int { return cmp.Compare(a.middle(), b.middle()) })
	where := slices.Clone(blocks) // as on the vehicle
	for i, b := range where {
		for k, above := range where[:i] {
			across := math.Abs(above.along-b.along) < (above.box.Width()+b.box.Width())/2
			cover := (above.box.Height()+b.box.Height())/2 - (b.middle() - above.middle())
			if across && cover <= min(above.box.Height(), b.box.Height())/2 {
				blocks[i].y = max(blocks[i].y, blocks[k].y+blocks[k].height)
			}
		}
	}
}

// middle is the height of a lamp's middle on the sheet, y down.
func (b block) middle() float64 { return b.y + b.box.Height()/2 }

// collide tells whether two blocks overlap.
func collide(blocks []block) bool {
	const touch = 1e-6 // mm
	for i, a := range blocks {
		for _, b := range blocks[i+1:] {
			if a.x+touch < b.x+b.width && b.x+touch < a.x+a.width && a.y+touch < b.y+b.height && b.y+touch < a.y+a.height {
				return true
			}
		}
	}
	return false
}

// extent is the box around blocks; y runs down.
func extent(blocks []block) lamp.Box {
	b := lamp.Box{Min: lamp.Point{X: math.Inf(1), Y: math.Inf(1)}, Max: lamp.Point{X: math.Inf(-1), Y: math.Inf(-1)}}
	for _, k := range blocks {
		b.Min.X, b.Max.X = min(b.Min.X, k.x), max(b.Max.X, k.x+k.width)
		b.Min.Y, b.Max.Y = min(b.Min.Y, k.y), max(b.Max.Y, k.y+k.height)
	}
	return b
}

// squeeze shortens the empty gaps between lamps to at most gap, across and down.
func squeeze(blocks []block, gap float64) {
	shorten(blocks, gap, func(b *block) (*float64, float64) { return &b.x, b.width })
	shorten(blocks, gap, func(b *block) (*float64, float64) { return &b.y, b.height })
}

func shorten(blocks []block, gap float64, axis func(*block) (*float64, float64)) {
	order := make([]*block, len(blocks))
	for i := range blocks {
		order[i] = &blocks[i]
	}
	slices.SortStableFunc(order, func(a, b *block) int {
		x, _ := axis(a)
		y, _ := axis(b)
		return cmp.Compare(*x, *y)
	})
	end, shift := math.Inf(1), 0.0
	for _, b := range order {
		start, length := axis(b)
		if *start > end+gap {
			shift += *start - end - gap
		}
		if math.IsInf(end, 1) {
			end = *start
		}
		end = max(end, *start+length)
		*start -= shift
	}
}

// flow sets blocks side by side in rows, in their order across the vehicle.
func flow(blocks []block, gap float64) {
	slices.SortStableFunc(blocks, func(a, b block) int { return cmp.Compare(a.along, b.along) })
	var area, widest float64
	for _, b := range blocks {
		area += b.width * b.height
		widest = max(widest, b.width)
	}
	room := max(widest, 1.8*math.Sqrt(area)) // a sheet wider than it is high
	var x, y, tallest float64
	for i := range blocks {
		b := &blocks[i]
		if x > 0 && x+b.width > room {
			x, y, tallest = 0, y+tallest, 0
		}
		b.x, b.y = x, y
		x += b.width + gap
		tallest = max(tallest, b.height)
	}
}

// pitchSamples bounds the work of finding a lamp's pitch: so many LEDs are compared with all others.
const pitchSamples = 200

// pitchOf is the median distance from a LED to its nearest neighbour, mm; 10 mm for a lamp with one LED or none.
func pitchOf(l *lamp.Lamp) float64 {
	var nearest []float64
	step := max(1, len(l.LEDs)/pitchSamples)
	for i := 0; i < len(l.LEDs); i += step {
		best := math.Inf(1)
		for j := range l.LEDs {
			dx, dy := l.LEDs[i].At.X-l.LEDs[j].At.X, l.LEDs[i].At.Y-l.LEDs[j].At.Y
			if d := float64(dx*dx) + float64(dy*dy); d > 0 && d < best {
				best = d
			}
		}
		if !math.IsInf(best, 1) {
			nearest = append(nearest, math.Sqrt(best))
		}
	}
	if len(nearest) == 0 {
		return 10
	}
	slices.Sort(nearest)
	return max(nearest[len(nearest)/2], 0.1)
}
