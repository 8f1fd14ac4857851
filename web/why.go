package web

import (
	"fmt"
	"net/http"
	"strings"
	"sync"

	"lampwright/car"
	"lampwright/figures"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
	"lampwright/script"
	"lampwright/units"
)

// why tells who holds a group at a moment, and why the others do not.
type why struct {
	Lamp   string     `json:"lamp"`
	Group  int        `json:"group"`
	Says   string     `json:"says"`
	Module string     `json:"module"`
	Output int        `json:"output"` // 1-based; 0: it hangs on none
	Owner  string     `json:"owner"`
	Layers []whyLayer `json:"layers"` // that take the group, highest priority first
}

type whyLayer struct {
	Name string `json:"name"`
	Show bool   `json:"show"`
	Owns bool   `json:"owns"`
	Says string `json:"says"`
}

// moment is a compiled job as it runs at one time.
type moment struct {
	made    *made
	rig     *car.Rig
	pressed func(input string) bool // is it asked for, whatever the modules read
}

// of tells of one group of a lamp.
func (w moment) of(lamp string, group int) (why, report.List) {
	k := w.made.state.Kit
	l, known := k.Lamp(lamp)
	if !known || group < 0 || group >= len(l.Groups) {
		return why{}, one("point at a group of the picture", "there is no such group in lamp %q", lamp)
	}
	out := why{Lamp: lamp, Group: group, Layers: []whyLayer{}}
	module, output := -1, -1
	for i, m := range k.Modules {
		if m.Lamp == l && m.Output[group] >= 0 {
			module, output = i, m.Output[group]
		}
	}
	if module < 0 {
		out.Says = "It hangs on no output, so nothing lights it."
		return out, nil
	}
	m := k.Modules[module]
	out.Module, out.Output = m.Name, output+1
	e := w.rig.Engine(module)
	switch w.rig.State(module) {
	case car.Off:
		out.Says = fmt.Sprintf("Dark: %s has no supply.", m.Name)
		return out, nil
	case car.Starting:
		out.Says = fmt.Sprintf("Dark: the supply of %s has just come, and its controller does not run yet.", m.Name)
		return out, nil
	case car.Asleep:
		out.Says = fmt.Sprintf("Dark: %s sleeps, for nothing was asked of it. Any input wakes it.", m.Name)
		return out, nil
	case car.Plain:
		out.Says = fmt.Sprintf("%s shows plain signals: it checks its program, which takes a moment after its supply came, or refuses it for a side strap that is missing or wrong.", m.Name)
		return out, nil
	}
	w.layers(&out, m, e, output)
	if e.Halved() {
		out.Says += " All light of this module is halved: " + w.halved(m, e) + "."
	}
	return out, nil
}

// layers fills in all signals and shows that take the output, and the sentence about the one that holds it.
func (w moment) layers(out *why, m *kit.Module, e *program.Engine, output int) {
	compiled := w.made.result.Module(m)
	shown, owner := e.Shown(), e.Owner()[output]
	if forced := shown.Force[output/8]>>(output%8)&1 != 0; owner.Layer < 0 && forced {
		for i, l := range compiled.Program.Layers {
			if l.Fast && has(l.Slots, output) {
				owner = program.Holder{Layer: i, Phase: program.Stay}
				break
			}
		}
	}
	standings := e.Standings()
	var above []string // layers before the owner
	for i, l := range compiled.Layers {
		if l.Outage != nil || !has(compiled.Program.Layers[i].Slots, output) || i >= len(standings) {
			continue
		}
		one := whyLayer{Name: l.Of.Name, Show: l.Of.Show, Owns: i == owner.Layer}
		switch {
		case one.Owns:
			out.Owner = l.Of.Name
			one.Says = doing(l.Of, owner.Phase, standings[i])
			out.Says = fmt.Sprintf("%s %s. %s", l.Of.Name, one.Says, because(l.Of, owner.Phase))
			if len(above) > 0 {
				out.Says += fmt.Sprintf(" Above it: %s.", strings.Join(above, "; "))
			}
		case standings[i].Phase != program.Off:
			one.Says = "runs, below " + out.Owner
		default:
			one.Says = w.idle(l.Of, m, e, standings[i])
			above = append(above, fmt.Sprintf("%s %s", l.Of.Name, one.Says))
		}
		out.Layers = append(out.Layers, one)
	}
	switch {
	case out.Owner != "":
	case e.Bars().Stream:
		out.Says = "Light is streamed to it, and no signal takes it now."
	case len(out.Layers) == 0:
		out.Says = "Dark: no signal and no show takes this group."
	default:
		out.Says = fmt.Sprintf("Dark: %s.", strings.Join(above, "; "))
	}
}

func has(slots []uint8, output int) bool {
	for _, o := range slots {
		if int(o) == output {
			return true
		}
	}
	return false
}

// doing tells what a layer that holds its groups does with them.
func doing(l *kit.Layer, phase program.Phase, s program.Standing) string {
	switch phase {
	case program.Arrive:
		if l.Flasher {
			return fmt.Sprintf("arrives with %s, at the flasher's pace", name(l.Arrive))
		}
		return "arrives with " + name(l.Arrive)
	case program.Leave:
		return "leaves with " + name(l.Leave)
	case program.Keep:
		return fmt.Sprintf("keeps it dark for %s more, so that nothing shows between two flashes", units.Time(s.Keep)*program.FrameMS*units.Millisecond)
	}
	if l.Stay == nil {
		return "holds what " + name(l.Arrive) + " left"
	}
	return "stays with " + name(l.Stay)
}

func because(l *kit.Layer, phase program.Phase) string {
	switch phase {
	case program.Leave, program.Keep:
		return fmt.Sprintf("Its input %s went off.", l.Input.Name)
	}
	return fmt.Sprintf("Its input %s is on.", l.Input.Name)
}

// idle tells why a layer is off.
func (w moment) idle(l *kit.Layer, m *kit.Module, e *program.Engine, s program.Standing) string {
	switch {
	case !s.Asked && w.pressed(l.Input.Name):
		return fmt.Sprintf("is off: %s is asked for, but %s does not read it as on (its filter waits, a flash is dark, or the wire has too little voltage)", l.Input.Name, m.Name)
	case !s.Asked && s.Window > 0:
		return fmt.Sprintf("is off, and would skip its arrive within %s", units.Time(s.Window)*program.FrameMS*units.Millisecond)
	case !s.Asked:
		return "is off"
	case s.Barred:
		for _, in := range l.NotWhile {
			if e.Asked()&m.InputPins(in) != 0 {
				return fmt.Sprintf("is barred: %s is on", in.Name)
			}
		}
		return "is barred: it runs only while " + inputNames(l.OnlyWhile, " or ") + " is on"
	case l.Show && e.Bars() != (program.Bars{}):
		return "is barred: " + w.barred(m, e)
	case s.Spent:
		return fmt.Sprintf("has ended: let %s go and ask anew", l.Input.Name)
	}
	return "is about to begin"
}

func inputNames(all []*kit.Input, or string) string {
	var names []string
	for _, in := range all {
		names = append(names, in.Name)
	}
	return strings.Join(names, or)
}

// barred tells what bars every show of a module.
func (w moment) barred(m *kit.Module, e *program.Engine) string {
	g := w.made.state.Kit.Guard
	switch b := e.Bars(); {
	case b.Low:
		return fmt.Sprintf("the supply is below %s", g.ShowsAbove)
	case b.Over || b.Hot:
		return w.halved(m, e)
	case b.Warm:
		return fmt.Sprintf("the board is at %s or hotter", g.ShowsOffAt)
	}
	return "light is streamed to the module"
}

// halved tells why a module halves its light.
func (w moment) halved(m *kit.Module, e *program.Engine) string {
	g := w.made.state.Kit.Guard
	if e.Bars().Over {
		return fmt.Sprintf("the supply is at %s or more", g.HalveAbove)
	}
	return fmt.Sprintf("the board is at %s or hotter; the stop stays full", g.HalveAt)
}

// asked keeps the play of the script that was asked about last, so that the next question goes on from there.
type asked struct {
	mu     sync.Mutex
	of     string // revision, seed and script
	made   *made
	line   *script.Timeline
	player *figures.Player
}

// postWhy tells of a group at a moment of a script.
func (s *Server) postWhy(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Script string  `json:"script"`
		Seed   uint64  `json:"seed"`
		AtMS   float64 `json:"atMs"`
		Lamp   string  `json:"lamp"`
		Group  int     `json:"group"`
	}
	if !read(w, r, &q) {
		return
	}
	m := s.results.wait()
	line, faults := s.scripted(m, q.Script)
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	at := units.Milliseconds(q.AtMS)
	if q.AtMS < 0 || q.AtMS > float64(filmLongest/units.Millisecond) || at > line.Len()+filmTail {
		refuse(w, r, one("choose a moment of the script", "there is no such moment"))
		return
	}
	a := &s.asked
	a.mu.Lock()
	defer a.mu.Unlock()
	if key := fmt.Sprintf("%s %d %s", m.state.Revision, q.Seed, q.Script); a.of != key || a.player.At() > at {
		timeline := line.Timeline(q.Seed)
		player, err := play(m, timeline, line.Len()+filmTail)
		if err != nil {
			refuse(w, r, faultsOf(err))
			return
		}
		a.of, a.made, a.line, a.player = key, m, timeline, player
	}
	a.player.To(at)
	pressed := func(input string) bool { return a.line.Level(input, a.player.At()) }
	answerWhy(w, r, moment{a.made, a.player.Rig(), pressed}, q.Lamp, q.Group)
}

func answerWhy(w http.ResponseWriter, r *http.Request, at moment, lamp string, group int) {
	out, faults := at.of(lamp, group)
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	answer(w, r, http.StatusOK, out)
}
