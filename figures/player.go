package figures

import (
	"lampwright/car"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/lamp"
	"lampwright/program"
	"lampwright/script"
	"lampwright/units"
)

// Player runs the modules of a job together under a script and gives the light of their lamps.
type Player struct {
	kit  *kit.Kit
	rig  *car.Rig
	line *script.Timeline
}

// NewPlayer starts play of a kit whose modules, all of them in its order, hold the given units. The script's wires and conditions are
// followed up to until; c is what it does not say.
func NewPlayer(k *kit.Kit, all []car.Unit, line *script.Timeline, until units.Time, c feed.Conditions) *Player {
	return &Player{kit: k, rig: car.NewRig(all, car.Drive(k, line, until, c)), line: line}
}

// Hold lets hands have inputs, supply and heat from now on, instead of what the script does with them.
func (p *Player) Hold(h car.Hands) { p.rig.Hold(p.kit, h) }

// Rig gives what is played: its engines tell who holds an output, and why.
func (p *Player) Rig() *car.Rig { return p.rig }

// At is the time of what Frame shows.
func (p *Player) At() units.Time { return p.rig.At() }

// Step goes on by one refresh, car.Refresh.
func (p *Player) Step() { p.rig.Step() }

// To goes on until a time. It does nothing when that has passed.
func (p *Player) To(at units.Time) { p.rig.To(at) }

// Levels gives the levels of a module's outputs now: 255 where the stop override holds them on. Light that is halved, or lost on the
// way, is in Light.
func (p *Player) Levels(module int) [program.MaxOutputs]uint8 { return p.rig.Levels(module) }

// Light gives the light of a module's outputs now, as their LEDs show it.
func (p *Player) Light(module int) (light [program.MaxOutputs]units.Share) {
	for o, d := range p.rig.Duties(module) {
		light[o] = units.Share(float64(d) / program.FullDuty)
	}
	return light
}

// Frame gives the light of lamps now. Lamps that no module drives, and groups on no output, are dark.
func (p *Player) Frame(lamps []*lamp.Lamp) Frame {
	f := Frame{At: p.rig.At(), Pressed: p.line.Pressed(p.rig.At()), Light: make([][]units.Share, len(lamps))}
	for _, c := range p.line.Holding(f.At) {
		c.From, c.To = 0, 0
		f.Holding = append(f.Holding, c.String())
	}
	for m, of := range p.kit.Modules {
		f.Modules = append(f.Modules, ModuleState{of.Name, p.rig.State(m)})
	}
	for i, l := range lamps {
		f.Light[i] = make([]units.Share, len(l.Groups))
		for m, of := range p.kit.Modules {
			if of.Lamp.Lamp != l {
				continue
			}
			light := p.Light(m)
			for g, o := range of.Output {
				if o >= 0 {
					f.Light[i][g] = light[o]
				}
			}
		}
	}
	return f
}
