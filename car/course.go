package car

import (
	"slices"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/script"
	"lampwright/units"
)

// Pins is what stands at a module's pins.
type Pins struct {
	Powered  bool          // the controller has its supply; it comes out of reset some time later
	Lived    bool          // when it got it, its RAM still held what it had held
	Rail     units.Voltage // protected supply, of which the light is made
	In       uint8         // levels at the inputs; bit 0 is in1, 1 is high
	Codes    program.Codes
	Strap    program.Side // Centre: missing
	LinkOpen bool         // the module's end of the link wire is open
}

// Change is what stands at a module's pins from a time on.
type Change struct {
	At units.Time
	Pins
}

// WireState is the state of the link wire itself.
type WireState string

// The states of the link wire.
const (
	Free     WireState = "free"
	Low      WireState = "low"    // shorted to ground
	AtSupply WireState = "supply" // shorted to the supply: nobody can pull it low
)

// WireChange is the state of the link wire from a time on.
type WireChange struct {
	At    units.Time
	State WireState
}

// Broken is an output that does not do what its module says.
type Broken struct {
	Module, Output int // index of the module in the kit; output 0-based
	On             bool
	From, To       units.Time // up to, and not at, To
}

// Course is what a script does to a kit. Lists of changes ascend, begin at time 0 and change something each.
type Course struct {
	Modules [][]Change // by index of the kit's modules
	Wire    []WireChange
	Outputs []Broken
	Until   units.Time
}

// RoomDegrees is the heat at a board's sensor of which nothing is said.
const RoomDegrees units.Temperature = 25

// Drive follows a script, from time 0 up to until. c.Supply is the supply of which the script says nothing.
func Drive(k *kit.Kit, line *script.Timeline, until units.Time, c feed.Conditions) *Course {
	supply := line.SupplyLevels(c.Supply)
	d := driver{kit: k, line: line, supply: supply, until: until, asks: asks(k, line, supply, until, c)}
	course := &Course{Until: until}
	for _, m := range k.Modules {
		course.Modules = append(course.Modules, d.module(m))
	}
	for _, at := range line.Turns() {
		state := Free
		for _, h := range line.Holding(at) {
			if h.What == script.Link && h.Where == "" {
				state = map[string]WireState{script.Low: Low, script.AtSupply: AtSupply}[h.Is]
			}
		}
		if n := len(course.Wire); n == 0 || course.Wire[n-1].State != state {
			course.Wire = append(course.Wire, WireChange{at, state})
		}
	}
	course.Outputs = Outputs(k, line, until)
	return course
}

// Outputs gives the outputs that conditions break. They reach no pin of a module.
func Outputs(k *kit.Kit, line *script.Timeline, until units.Time) []Broken {
	var all []Broken
	for _, h := range line.Conditions(script.Output) {
		for i, m := range k.Modules {
			for o := range m.Board.Outputs {
				if h.Where != OutputName(m, o) {
					continue
				}
				b := Broken{Module: i, Output: o, On: h.Is == script.On, From: h.From, To: h.To}
				if h.Always() {
					b.To = until + 1
				}
				all = append(all, b)
			}
		}
	}
	return all
}

type driver struct {
	kit    *kit.Kit
	line   *script.Timeline
	supply []script.Level
	until  units.Time
	asks   [][]feed.Edge
}

// module follows one module through all that changes anything at its pins.
func (d *driver) module(m *kit.Module) []Change {
	s := newState(d, m)
	times := d.line.Turns()
	for _, l := range d.supply {
		times = append(times, l.At)
	}
	for i, used := range s.uses {
		for _, e := range d.asks[i] {
			if used {
				times = append(times, e.At)
			}
		}
	}
	slices.Sort(times)
	var changes []Change
	put := func(at units.Time, p Pins) {
		n := len(changes)
		if n > 0 && changes[n-1].At == at {
			changes = changes[:n-1]
			n--
		}
		if n == 0 || changes[n-1].Pins != p {
			changes = append(changes, Change{at, p})
		}
	}
	lose := func(at units.Time) {
		last := changes[len(changes)-1].Pins
		last.Powered = false
		put(at, last)
	}
	for _, at := range slices.Compact(times) {
		if at > d.until {
			break
		}
		if lost := s.tank.until(at); lost >= 0 && lost < at {
			lose(lost)
		}
		put(at, s.goTo(at))
	}
	if lost := s.tank.until(d.until); lost >= 0 {
		lose(lost)
	}
	return changes
}
