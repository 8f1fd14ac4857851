package web

import (
	"encoding/base64"
	"math"
	"net/http"

	"lampwright/car"
	"lampwright/feed"
	"lampwright/figures"
	"lampwright/kit"
	"lampwright/lamp"
	"lampwright/program"
	"lampwright/report"
	"lampwright/script"
	"lampwright/units"
)

// A film has a picture every fourth frame of the module: 62.5 a second, which is what a screen can show.
const (
	filmFrames  = 4
	filmStepMS  = filmFrames * program.FrameMS
	filmLongest = 2 * 60 * units.Second
	filmTail    = units.Second // goes on after the last press
)

// film is light over time, ready to be shown; docs/workbench.md, "film".
type film struct {
	Revision string     `json:"revision"`
	StepMS   int        `json:"stepMs"`
	Frames   int        `json:"frames"`
	Lamps    []filmLamp `json:"lamps"`
	Levels   string     `json:"levels"` // base64: frames × all groups, one byte a level

	Owners string   `json:"owners,omitempty"` // of a script, when asked for; base64, as levels: 0 is nobody, n the n-th of layers, 255 the safe program
	Layers []string `json:"layers,omitempty"`
	Script *course  `json:"script,omitempty"` // of a script: what it asks for when
}

type filmLamp struct {
	Name   string `json:"name"`
	Groups int    `json:"groups"`
}

// presses reads a script that may speak of the job's inputs.
func presses(k *kit.Kit, text string) (script.Script, report.List) {
	return script.ParseIn("script", []byte(text), car.Names(k))
}

func (s *Server) postFilm(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Revision string `json:"revision"`
		Routine  string `json:"routine"`
		Script   string `json:"script"`
		Seed     uint64 `json:"seed"`
		Owners   bool   `json:"owners"`
	}
	if !read(w, r, &q) {
		return
	}
	k := s.desk.Load().State().Kit
	if k == nil {
		refuse(w, r, one("mend what stops work first", "a broken job has no light to show"))
		return
	}
	var f *film
	var faults report.List
	if q.Routine != "" {
		f, faults = s.filmOfRoutine(q.Routine)
	} else {
		f, faults = s.filmOfScript(q.Script, q.Seed, q.Owners)
	}
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	answer(w, r, http.StatusOK, f)
}

// filmOfRoutine shows one routine by itself on every lamp that it fits, as it is written.
func (s *Server) filmOfRoutine(name string) (*film, report.List) {
	st := s.desk.Load().State()
	if st.Kit == nil {
		return nil, one("mend what stops work first", "a broken job has no light to show")
	}
	routine, known := st.Kit.Routine(name)
	if !known {
		return nil, one("choose another", "there is no routine %q", name)
	}
	var out lightAnswer
	if faults := out.written(st.Kit, routine, filmStepMS); faults.HasErrors() {
		return nil, faults
	}
	out.Revision = st.Revision
	return &out.film, nil
}

// scripted reads a script for a compiled job; it must be short enough to be shown.
func (s *Server) scripted(m *made, text string) (script.Script, report.List) {
	if m.state.Kit == nil || m.result == nil {
		return script.Script{}, one("mend what stops work first", "a broken job has no light to show")
	}
	line, faults := presses(m.state.Kit, text)
	if faults.HasErrors() {
		return line, faults
	}
	if line.Len()+filmTail > filmLongest {
		return line, one("shorten it, or use lampwright play", "the script lasts %s, and two minutes are shown here", line.Len())
	}
	return line, nil
}

// filmOfScript shows what the modules do under a script, as their engines do it.
func (s *Server) filmOfScript(text string, seed uint64, owned bool) (*film, report.List) {
	m := s.results.wait()
	line, faults := s.scripted(m, text)
	if faults.HasErrors() {
		return nil, faults
	}
	end := line.Len() + filmTail
	player, err := play(m, line.Timeline(seed), end)
	if err != nil {
		return nil, faultsOf(err)
	}
	frames := int(end/(filmStepMS*units.Millisecond)) + 1
	f := &film{Revision: m.state.Revision, StepMS: filmStepMS, Frames: frames, Script: courseOf(line)}
	f.lamps(m.state.Kit)
	lamps := drawn(m.state.Kit)
	var levels, owners []byte
	held := holdersOf(m)
	for i := range frames {
		player.To(units.Time(i) * filmStepMS * units.Millisecond)
		levels = appendLevels(levels, player.Frame(lamps))
		if owned {
			owners = held.append(owners, player.Rig())
		}
	}
	f.Levels = base64.StdEncoding.EncodeToString(levels)
	if owned {
		f.Owners, f.Layers = base64.StdEncoding.EncodeToString(owners), layerNames(m.state.Kit)
	}
	return f, nil
}

// usualSupply is the car's battery with its engine running, where a script does not say another.
const usualSupply = units.Voltage(13.5)

// play starts all modules of a compiled job under a script.
func play(m *made, line *script.Timeline, until units.Time) (*figures.Player, error) {
	all, err := car.Units(m.result)
	if err != nil {
		return nil, report.Errorf("play", report.Place{}, "a module has no program, so there is nothing to show").Do("mend what the list of problems names")
	}
	return figures.NewPlayer(m.state.Kit, all, line, until, feed.Conditions{Supply: usualSupply}), nil
}

// lamps enters the lamps of a film and gives how many groups there are in all.
func (f *film) lamps(k *kit.Kit) (groups int) {
	for _, l := range k.Lamps {
		f.Lamps = append(f.Lamps, filmLamp{l.Name, len(l.Groups)})
		groups += len(l.Groups)
	}
	return groups
}

func drawn(k *kit.Kit) []*lamp.Lamp {
	var all []*lamp.Lamp
	for _, l := range k.Lamps {
		all = append(all, l.Lamp)
	}
	return all
}

// appendLevels adds the levels of all groups of a picture, lamp by lamp.
func appendLevels(to []byte, f figures.Frame) []byte {
	for _, lampLight := range f.Light {
		for _, share := range lampLight {
			to = append(to, level(float64(share)))
		}
	}
	return to
}

// level gives linear light, 0..1, as lightness 0..255.
func level(light float64) byte {
	return byte(math.Round(units.Lightness(min(max(light, 0), 1)) * float64(units.LevelFull) / 100))
}
