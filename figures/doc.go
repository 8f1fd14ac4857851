// Package figures draws lamps as an onlooker sees them: as characters for a terminal, as an animated GIF and as an SVG
// snapshot. A [Frame] says how much light every group gives; the drawing says where its LEDs stand.
//
// Rear lamps are drawn as seen from behind the vehicle, front lamps as seen from in front of it, every lamp at its own place
// and all to one scale. Wide gaps between lamps are shortened; lamps whose places collide are set side by side instead.
//
// Same input, same bytes: no clock, no random numbers, a fixed palette.
//
// Not promised: photometry. Glow is there to be looked at, and no screen shows the light of a lamp.
package figures

import (
	"lampwright/car"
	"lampwright/lamp"
	"lampwright/units"
)

// Frame is the light of all lamps at one time.
type Frame struct {
	At      units.Time
	Light   [][]units.Share // by lamp, in the order they were given; by group of the lamp; linear light 0..1
	Pressed []string        // the inputs that are on
	Holding []string        // what the script says of the car beside, such as supply=6.5V
	Modules []ModuleState   // in the order of the kit
}

// ModuleState is what a module does.
type ModuleState struct {
	Module string
	State  car.State
}

// unusual tells, in words, which modules do something else than run.
func (f Frame) unusual() (all []string) {
	for _, m := range f.Modules {
		if m.State != car.Runs {
			all = append(all, m.Module+" "+string(m.State))
		}
	}
	return all
}

// share gives a group's light, held within 0..1; groups that the frame does not name are dark.
func (f Frame) share(lampIndex, group int) float64 {
	if lampIndex >= len(f.Light) || group >= len(f.Light[lampIndex]) {
		return 0
	}
	return min(max(float64(f.Light[lampIndex][group]), 0), 1)
}

// Sheet is the room that a scene is laid out in, in dots. A dot is a picture element, or half a character cell.
type Sheet struct {
	Width, Height float64 // most room there is
	Char          float64 // width of one letter of a label
	Line          float64 // height of one line of text
	Pitch         float64 // most distance between neighbouring LEDs: small lamps are not blown up beyond it
	Name          float64 // room below a lamp for its name; 0: a line and a quarter
}

// nameRoom is the room below a lamp for its name.
func (s Sheet) nameRoom() float64 {
	if s.Name > 0 {
		return s.Name
	}
	return s.Line * (1 + nameGap)
}

// Scene is the lamps of a kit laid out on a sheet. All lengths are dots, x to the right and y down.
type Scene struct {
	Width, Height float64
	Scale         float64 // dots for each millimetre
	Lamps         []Placed
	Titles        []Label // of the views, their left end at X
	sheet         Sheet
}

// Placed is a lamp on the sheet.
type Placed struct {
	*lamp.Lamp
	Index    int // in the list that was given
	Name     Label
	PitchMM  float64 // common distance of neighbouring LEDs, mm
	at       lamp.Box
	min, max struct{ x, y float64 } // of the lamp, dots
	scale    float64
}

// Label is a line of text; Y is its upper edge.
type Label struct {
	Text string
	X, Y float64 // X is the middle of a lamp's name and the left end of a title
}

// Dot gives the place on the sheet of a point in the lamp's plane.
func (p Placed) Dot(at lamp.Point) (x, y float64) {
	return p.min.x + float64((at.X-p.at.Min.X)*p.scale), p.min.y + float64((p.at.Max.Y-at.Y)*p.scale)
}
