package figures

import (
	"lampwright/lamp"
	"lampwright/program"
	"lampwright/script"
	"lampwright/units"
)

// Refresh is the step of play: what the engines step by.
const Refresh = units.Second / program.RefreshHz

// Actor is a module that plays: its engine, what hangs on its outputs and what its input pins hang on.
type Actor struct {
	Name   string
	Lamp   *lamp.Lamp
	Output []int // for each group of the lamp: output number, 0-based; -1: not wired
	Engine *program.Engine
	Wires  []Wire
	Link   bool // joined to the link wire
}

// Wire is an input of the job at a module.
type Wire struct {
	Input     string
	Mask      uint8 // pins of the module; bit 0 is in1
	ActiveLow bool
}

// Player runs the modules of a job together, refresh by refresh, under a script. All start at time 0 on one supply and
// share one link wire.
type Player struct {
	actors []Actor
	line   *script.Timeline
	events []script.Event
	on     map[string]bool
	next   int // event
	at     units.Time
}

// NewPlayer starts play. The engines are stepped from here on by the player alone.
func NewPlayer(actors []Actor, line *script.Timeline) *Player {
	return &Player{actors: actors, line: line, events: line.Events(), on: map[string]bool{}}
}

// Wire lets the inputs follow what their factory wires do, instead of the bare presses. It is for the beginning of play; events are
// sorted by time.
func (p *Player) Wire(events []script.Event) *Player {
	p.events = events
	return p
}

// At is the time of what Frame shows.
func (p *Player) At() units.Time { return p.at }

// Step goes on by one refresh.
func (p *Player) Step() {
	for p.next < len(p.events) && p.events[p.next].At <= p.at {
		p.on[p.events[p.next].Input] = p.events[p.next].On
		p.next++
	}
	link := true
	for _, a := range p.actors {
		if a.Link && a.Engine.Shown().Pull {
			link = false
		}
	}
	for _, a := range p.actors {
		var in uint8
		for _, w := range a.Wires {
			if p.on[w.Input] != w.ActiveLow {
				in |= w.Mask
			}
		}
		a.Engine.Step(in, link || !a.Link)
	}
	p.at += Refresh
}

// To goes on until a time. It does nothing when that has passed.
func (p *Player) To(at units.Time) {
	for p.at < at {
		p.Step()
	}
}

// Levels gives the levels of a module's outputs now: 255 where the stop override holds them on.
func (p *Player) Levels(actor int) [program.MaxOutputs]uint8 {
	shown := p.actors[actor].Engine.Shown()
	for o := range shown.Levels {
		if shown.Force[o/8]>>(o%8)&1 != 0 {
			shown.Levels[o] = program.FullLevel
		}
	}
	return shown.Levels
}

// Frame gives the light of lamps now. Lamps that no module drives, and groups on no output, are dark.
func (p *Player) Frame(lamps []*lamp.Lamp) Frame {
	f := Frame{At: p.at, Pressed: p.line.Pressed(p.at), Light: make([][]units.Share, len(lamps))}
	for i, l := range lamps {
		f.Light[i] = make([]units.Share, len(l.Groups))
		for a := range p.actors {
			if p.actors[a].Lamp != l {
				continue
			}
			levels := p.Levels(a)
			for g, o := range p.actors[a].Output {
				if o >= 0 {
					f.Light[i][g] = units.Share(float64(program.Duty(levels[o])) / program.FullDuty)
				}
			}
		}
	}
	return f
}

// Press sets which inputs are on from now on, beside what the script presses; those that are not named are off.
func (p *Player) Press(inputs map[string]bool) {
	clear(p.on)
	for name, on := range inputs {
		p.on[name] = on
	}
}
