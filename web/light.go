package web

import (
	"encoding/base64"
	"math"
	"net/http"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/light"
	"lampwright/program"
	"lampwright/report"
	"lampwright/source"
)

// mostEarlier is how many earlier revisions a window is offered.
const mostEarlier = 40

// On-times of a flasher for which a routine at its pace is shown, ms; docs/engine.md, section 5.
const (
	leastOnMS = 120
	mostOnMS  = 900
	usualOnMS = 333
	lateMS    = 5 // from the sample behind a snapshot to its light, and a little more
)

// lightOrder asks for the light of one routine.
type lightOrder struct {
	Revision string        `json:"revision"` // "": the latest
	Routine  string        `json:"routine"`
	Edits    []source.Edit `json:"edits"`   // shown as if they were made
	Modules  bool          `json:"modules"` // as the modules play it, not as it is written
	OnMS     float64       `json:"onMs"`    // of the flasher, for a routine at its pace; 0: the usual one
}

// lightAnswer is a film with what plays it.
type lightAnswer struct {
	film
	MS    float64    `json:"ms"` // of one run
	Plays []playView `json:"plays"`
}

// playView is one part of a layer that plays the routine on a module.
type playView struct {
	Module string  `json:"module"`
	Layer  string  `json:"layer"`
	Part   string  `json:"part"`
	Paced  bool    `json:"paced"`
	Bytes  int     `json:"bytes"`
	Fades  int     `json:"fades"`
	Error  float64 `json:"error"` // the most that a level differs from what is written, levels of 255
	groups []int
	lamp   *kit.Lamp
	still  []uint8
	code   *program.Routine
}

func (s *Server) postLight(w http.ResponseWriter, r *http.Request) {
	var q lightOrder
	if !read(w, r, &q) {
		return
	}
	if q.OnMS == 0 {
		q.OnMS = usualOnMS
	}
	if !(q.OnMS >= leastOnMS && q.OnMS <= mostOnMS) {
		refuse(w, r, one("choose 120 ms to 900 ms", "no flasher is on for %g ms", q.OnMS))
		return
	}
	k, faults := s.desk.Load().KitAt(q.Revision, q.Edits)
	if k == nil {
		refuse(w, r, faults)
		return
	}
	routine, known := k.Routine(q.Routine)
	if !known {
		refuse(w, r, one("choose another", "there is no routine %q", q.Routine))
		return
	}
	out := &lightAnswer{Plays: []playView{}}
	if q.Modules {
		faults = out.played(k, s.compiled(k), q.Routine, q.OnMS)
	} else {
		faults = out.written(k, routine, 0)
	}
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	out.Revision = q.Revision
	answer(w, r, http.StatusOK, out)
}

// compiled gives the programs of a kit; those of the latest revision are there already.
func (s *Server) compiled(k *kit.Kit) *compile.Result {
	if k == s.desk.Load().State().Kit {
		if m := s.results.wait(); m.state.Kit == k && m.result != nil {
			return m.result
		}
	}
	result, _ := compile.Compile(k, compile.Options{})
	return result
}

// Routines up to so long are shown in every frame of the module, ms.
const finelyMS = 1000

// stepOf gives the time from picture to picture of a routine, ms.
func stepOf(ms float64) int {
	if ms <= finelyMS {
		return program.FrameMS
	}
	return filmStepMS
}

// written shows a routine by itself on every lamp that it fits; a step of 0 ms is what its length asks for.
func (a *lightAnswer) written(k *kit.Kit, routine *kit.Routine, stepMS int) report.List {
	for _, l := range k.Lamps {
		if b := routine.On(l); b != nil {
			a.MS = max(a.MS, b.Light.Length())
		}
	}
	if a.StepMS = stepMS; stepMS == 0 {
		a.StepMS = stepOf(a.MS)
	}
	a.Frames = int(math.Ceil(a.MS/float64(a.StepMS))) + 1
	total := a.lamps(k)
	levels := make([]byte, a.Frames*total)
	first := 0
	for _, l := range k.Lamps {
		if b := routine.On(l); b != nil {
			groups := make([][]int, len(l.Groups))
			for g := range groups {
				groups[g] = b.GroupLEDs(l, []int{g})
			}
			sampler, err := light.NewSampler(b.Stage, b.Light, groups)
			if err != nil {
				return faultsOf(err)
			}
			for i := range a.Frames {
				for g, v := range sampler.At(min(float64(i*a.StepMS), a.MS)) {
					levels[i*total+first+g] = level(v)
				}
			}
		}
		first += len(l.Groups)
	}
	a.Levels = base64.StdEncoding.EncodeToString(levels)
	return nil
}

// played shows a routine as the compiled programs play it: the decoded fades, at the pace that they have.
func (a *lightAnswer) played(k *kit.Kit, result *compile.Result, name string, onMS float64) report.List {
	if result == nil {
		return one("mend what the list of problems names", "no module has a program, so there is nothing to show")
	}
	a.Plays = playsOf(result, name)
	if len(a.Plays) == 0 {
		return one("let a signal or show play it; Signals is the place for that", "no module plays %q: no signal or show uses it", name)
	}
	first := map[*kit.Lamp]int{}
	total := 0
	for _, l := range k.Lamps {
		first[l] = total
		total += len(l.Groups)
	}
	// A group is shown by the layer that is highest among those that play the routine on it.
	rows := make([][]uint8, total)
	frames := 1
	for _, p := range a.Plays {
		run := p.run(onMS)
		for slot, g := range p.groups {
			at := first[p.lamp] + g
			if rows[at] != nil {
				continue
			}
			for _, levels := range run {
				rows[at] = append(rows[at], levels[slot])
			}
			frames = max(frames, len(run))
		}
	}
	a.MS = float64((frames - 1) * program.FrameMS)
	a.StepMS = stepOf(a.MS)
	by := a.StepMS / program.FrameMS // frames of the module a picture
	a.Frames = (frames-1+by-1)/by + 1
	a.lamps(k)
	levels := make([]byte, a.Frames*total)
	for at, row := range rows {
		for f := range a.Frames {
			if row != nil {
				levels[f*total+at] = row[min(f*by, len(row)-1)]
			}
		}
	}
	a.Levels = base64.StdEncoding.EncodeToString(levels)
	return nil
}

// playsOf finds what plays a routine, in the order of modules and of their priority.
func playsOf(result *compile.Result, name string) []playView {
	out := []playView{}
	for _, m := range result.Modules {
		for i, l := range m.Layers {
			if l.Outage != nil || m.Program == nil || i >= len(m.Program.Layers) {
				continue
			}
			base := playView{Module: m.Of.Name, Layer: l.Of.Name, groups: l.Groups, lamp: m.Of.Lamp}
			if still := m.Program.Layers[i].Still; still != nil {
				if l.Of.Stay != nil && l.Of.Stay.Name == name || l.Of.Stay == nil && l.Of.Arrive != nil && l.Of.Arrive.Name == name {
					base.Part, base.still, base.Bytes = "stay", still, len(still)
					out = append(out, base)
				}
				continue
			}
			for _, r := range l.Routines {
				if r.Of == nil || r.Of.Name != name {
					continue
				}
				p := base
				p.Part, p.code, p.Bytes, p.Fades, p.Error = r.Part, r.Code, len(r.Code.Code), r.Fades, r.WorstError
				p.Paced = l.Of.Flasher && r.Part == "arrive"
				out = append(out, p)
			}
		}
	}
	return out
}

// run gives the levels of every slot, a frame of the module at a time, over one run.
func (p *playView) run(onMS float64) [][]uint8 {
	if p.still != nil {
		return [][]uint8{p.still}
	}
	ticks := program.PlayRoutine(p.code, len(p.groups))
	if !p.Paced {
		return ticks
	}
	frames := max(int(onMS-lateMS)/program.FrameMS, 1)
	out := make([][]uint8, frames+1)
	for f := range out {
		out[f] = ticks[min(f*p.code.Ticks/frames, len(ticks)-1)]
	}
	return out
}

// getEarlier lists the revisions that undo leads back to.
func (s *Server) getEarlier(w http.ResponseWriter, r *http.Request) {
	answer(w, r, http.StatusOK, s.desk.Load().Earlier(mostEarlier))
}
