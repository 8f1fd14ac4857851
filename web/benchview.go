package web

import (
	"lampwright/car"
	"lampwright/program"
	"lampwright/report"
)

// benchView is how the bench stands, as windows see it; docs/workbench.md, "bench".
type benchView struct {
	Revision string            `json:"revision"` // of the job that runs; "": none yet
	Lamps    []filmLamp        `json:"lamps"`    // in the order of levels and owners
	Layers   []string          `json:"layers"`   // in the order in which owners count them
	Phases   map[string]string `json:"phases"`   // of those that are not off
	Inputs   map[string]string `json:"inputs"`   // that are asked for: on, flash, or held by a window
	Flasher  flasher           `json:"flasher"`
	Supply   float64           `json:"supply"` // V
	Heat     float64           `json:"heat"`   // °C
	Battery  bool              `json:"battery"`
	Crank    bool              `json:"crank"` // under way
	Modules  []moduleState     `json:"modules"`
	Problems report.List       `json:"problems"` // why the latest revision does not run
	Record   bool              `json:"record"`
	Recorded *string           `json:"recorded"` // the script that was written down last
	Wire     wireView          `json:"wire"`     // to a real module
}

type moduleState struct {
	Name  string    `json:"name"`
	State car.State `json:"state"`
}

// view tells how the bench stands. It is locked.
func (b *bench) view() benchView {
	w := &b.switches
	v := benchView{
		Lamps: []filmLamp{}, Layers: []string{}, Phases: map[string]string{}, Inputs: map[string]string{}, Modules: []moduleState{},
		Flasher: flasher{float64(w.flash.Rate) / 1000, float64(w.flash.Share) / 10}, Supply: float64(w.supply), Heat: float64(w.heat),
		Battery: !w.gone, Crank: b.at < w.dipEnds, Problems: b.trouble, Record: b.recorder.on, Recorded: b.recorded, Wire: b.wire.view(),
	}
	for _, name := range w.inputs() {
		v.Inputs[name], _ = w.pressed(name)
		for _, held := range w.held {
			if held[name] {
				v.Inputs[name] = "held"
			}
		}
	}
	if b.player == nil {
		return v
	}
	v.Revision, v.Layers = b.made.state.Revision, layerNames(b.made.state.Kit)
	for _, l := range b.made.state.Kit.Lamps {
		v.Lamps = append(v.Lamps, filmLamp{l.Name, len(l.Groups)})
	}
	rig := b.player.Rig()
	for i, m := range b.made.state.Kit.Modules {
		v.Modules = append(v.Modules, moduleState{m.Name, rig.State(i)})
		e := rig.Engine(i)
		if e == nil || rig.State(i) == car.Asleep {
			continue
		}
		phases := e.Phases()
		for n, l := range b.made.result.Module(m).Layers {
			if l.Outage == nil && phases[n] != program.Off && (v.Phases[l.Of.Name] == "" || v.Phases[l.Of.Name] == program.Keep.String()) {
				v.Phases[l.Of.Name] = phases[n].String()
			}
		}
	}
	return v
}
