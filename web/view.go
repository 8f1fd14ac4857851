package web

import (
	"lampwright/board"
	"lampwright/kit"
	"lampwright/lamp"
	"lampwright/program"
	"lampwright/report"
	"lampwright/session"
	"lampwright/source"
)

// view is the job as a window sees it; docs/workbench.md, "job".
type view struct {
	Revision string             `json:"revision"`
	State    int                `json:"state"` // counts what else may change with the revision the same, such as saved
	Path     string             `json:"path"`
	Title    string             `json:"title"`
	For      string             `json:"for"`
	Use      string             `json:"use"`
	Saved    bool               `json:"saved"`
	Save     *report.Diagnostic `json:"save"`
	Undo     string             `json:"undo"`
	Redo     string             `json:"redo"`
	Text     string             `json:"text"`
	Tree     any                `json:"tree"`
	Problems []placed           `json:"problems"`
	Findings []placed           `json:"findings"`
	Computed bool               `json:"computed"` // findings and modules' figures are of this revision
	Lamps    []lampView         `json:"lamps"`
	Modules  []moduleView       `json:"modules"`
	Inputs   []inputView        `json:"inputs"`
	Routines []routineView      `json:"routines"`
	Layers   []layerView        `json:"layers"`
	Same     bool               `json:"same,omitempty"`  // text, tree and lamps are left out: the window has them of this very revision
	Loose    []session.Loose    `json:"loose,omitempty"` // what the command that is answered left pointing to nothing
}

type lampView struct {
	Name       string         `json:"name"`
	Kind       string         `json:"kind"`
	OppositeOf string         `json:"oppositeOf"`
	Photo      *pictureView   `json:"photo"`
	Place      placeView      `json:"place"`
	Outline    [][2]float64   `json:"outline"`
	LEDs       [][3]float64   `json:"leds"` // x, y, group
	Groups     []groupView    `json:"groups"`
	Zones      []zoneView     `json:"zones"`
	Paths      []pathView     `json:"paths"`
	Functions  []functionView `json:"functions"`
}

// pictureView is the photo under a drawing, with its known points as pairs of pixel and place.
type pictureView struct {
	File  string          `json:"file"`
	Known [][2][2]float64 `json:"known"`
}

type placeView struct {
	End  string  `json:"end"`
	Side string  `json:"side"`
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
}

type groupView struct {
	Name   string `json:"name"`
	Colour string `json:"colour"`
}

type zoneView struct {
	Name   string `json:"name"`
	Groups []int  `json:"groups"`
}

type pathView struct {
	Name   string       `json:"name"`
	Points [][2]float64 `json:"points"`
}

type functionView struct {
	Name     string `json:"name"`
	Groups   []int  `json:"groups"`
	Required bool   `json:"required"`
}

type moduleView struct {
	Name      string     `json:"name"`
	Board     string     `json:"board"`
	Outputs   int        `json:"outputs"`
	Lamp      string     `json:"lamp"`
	Link      string     `json:"link"`
	Registers int        `json:"registers"` // of eight outputs each; 0: the outputs are pins of the controller
	Output    []int      `json:"output"`    // of each group, 1-based; 0: not wired
	Loads     []loadView `json:"loads"`
	Inputs    []string   `json:"inputs"`
	Bytes     int        `json:"bytes"`
	MostBytes int        `json:"mostBytes"`
	Fades     int        `json:"fades"`
	MostFades int        `json:"mostFades"`
	Load      string     `json:"load"` // the command that writes its program
}

// loadView is an output that switches a load for the car's lamp check.
type loadView struct {
	Name   string `json:"name"`
	Output int    `json:"output"` // 1-based
}

type inputView struct {
	Name string    `json:"name"`
	Road string    `json:"road"`
	Pins []pinView `json:"pins"`
}

type pinView struct {
	Module string `json:"module"`
	In     int    `json:"in"` // 1-based
}

type routineView struct {
	Name    string   `json:"name"`
	MS      float64  `json:"ms"`
	Lamps   []string `json:"lamps"`
	Strokes int      `json:"strokes"`
}

type layerView struct {
	Name     string     `json:"name"`
	Show     bool       `json:"show"`
	Input    string     `json:"input"`
	Takes    []takeView `json:"takes"`
	Arrive   string     `json:"arrive"`
	Stay     string     `json:"stay"`
	Leave    string     `json:"leave"`
	WindowMS *float64   `json:"windowMs"`
	LimitMS  float64    `json:"limitMs"`
	Flasher  bool       `json:"flasher"`
	Timing   *timing    `json:"timing"` // nil until it is computed
}

type takeView struct {
	Lamp   string `json:"lamp"`
	Groups []int  `json:"groups"`
}

// placed is a diagnostic with the path of the value that it speaks of.
type placed struct {
	report.Diagnostic
	Place place `json:"place"`
}

type place struct {
	report.Place
	Path source.Path `json:"path,omitempty"`
}

func inTree(f *source.File, list report.List) []placed {
	out := make([]placed, len(list))
	for i, d := range list {
		out[i].Diagnostic, out[i].Place.Place = d, d.Place
		if f != nil && d.Place.Line > 0 {
			out[i].Place.Path = f.PathAt(d.Place)
		}
	}
	return out
}

// view gives the latest revision with what is known of it.
func (s *Server) view() *view {
	st := s.desk.Load().State()
	v := &view{
		Revision: st.Revision, State: st.Number, Path: st.Path, Saved: st.Saved, Save: st.Save, Undo: st.Undo, Redo: st.Redo, Text: st.Text,
		Problems: inTree(st.File, st.Problems),
		Lamps:    []lampView{}, Modules: []moduleView{}, Inputs: []inputView{}, Routines: []routineView{}, Layers: []layerView{},
	}
	if st.File != nil {
		v.Tree = st.File.Tree()
	}
	if st.Document != nil {
		v.Title, v.For, v.Use = st.Document.Job.Title, st.Document.Job.For, string(st.Document.Job.Use)
	}
	if st.Seen != nil {
		v.kit(st.Seen)
		for i := range v.Modules {
			v.Modules[i].Load = s.LoadCommand(st.Path, v.Modules[i].Name)
		}
	}
	if m := s.results.of(st); m != nil {
		v.Computed, v.Findings = true, inTree(st.File, m.findings)
		v.sizes(m)
	}
	return v
}

// kit enters what a resolved job holds.
func (v *view) kit(k *kit.Kit) {
	for _, l := range k.Lamps {
		v.Lamps = append(v.Lamps, seenLamp(l))
	}
	for _, m := range k.Modules {
		out := moduleView{Name: m.Name, Board: m.Board.Name, Outputs: m.Board.Outputs, Lamp: m.Lamp.Name, Link: m.Link,
			Loads: []loadView{}, Inputs: []string{}, MostBytes: program.MaxImageBytes, MostFades: program.MaxFades, Output: make([]int, len(m.Output))}
		for g, o := range m.Output {
			out.Output[g] = o + 1
		}
		if m.Board.Core == board.CoreChain {
			out.Registers = m.Board.Registers
		}
		for _, o := range k.Outages {
			if o.Module == m {
				out.Loads = append(out.Loads, loadView{o.Name, o.Output + 1})
			}
		}
		for _, p := range m.Board.Inputs {
			out.Inputs = append(out.Inputs, p.Name)
		}
		v.Modules = append(v.Modules, out)
	}
	for _, in := range k.Inputs {
		out := inputView{Name: in.Name, Road: in.Road, Pins: []pinView{}}
		for _, p := range in.Pins {
			out.Pins = append(out.Pins, pinView{p.Module.Name, p.In + 1})
		}
		v.Inputs = append(v.Inputs, out)
	}
	for _, r := range k.Routines {
		v.Routines = append(v.Routines, seenRoutine(k, r))
	}
	for _, l := range k.Layers {
		input := ""
		if l.Input != nil { // of a broken job
			input = l.Input.Name
		}
		out := layerView{Name: l.Name, Show: l.Show, Input: input, Arrive: name(l.Arrive), Stay: name(l.Stay), Leave: name(l.Leave),
			WindowMS: l.WindowMS, LimitMS: l.LimitMS, Flasher: l.Flasher, Takes: []takeView{}}
		for _, t := range l.Takes {
			out.Takes = append(out.Takes, takeView{t.Lamp.Name, t.Groups})
		}
		v.Layers = append(v.Layers, out)
	}
}

func name(r *kit.Routine) string {
	if r == nil {
		return ""
	}
	return r.Name
}

func seenLamp(l *kit.Lamp) lampView {
	out := lampView{
		Name: l.Name, Kind: l.Kind, OppositeOf: l.OppositeOf,
		Place:   placeView{l.Place.End.String(), l.Place.Side.String(), l.Place.At.X, l.Place.At.Y},
		Outline: pairs(l.Outline), LEDs: make([][3]float64, len(l.LEDs)),
		Groups: []groupView{}, Zones: []zoneView{}, Paths: []pathView{}, Functions: []functionView{},
	}
	if l.Photo != nil {
		out.Photo = &pictureView{l.Photo.File, [][2][2]float64{}}
		for _, k := range l.Photo.Known {
			out.Photo.Known = append(out.Photo.Known, [2][2]float64{{k.Pixel.X, k.Pixel.Y}, {k.At.X, k.At.Y}})
		}
	}
	for g := range l.Groups {
		out.Groups = append(out.Groups, groupView{l.Groups[g].Name, l.GroupColour(g)})
		for _, led := range l.Groups[g].LEDs {
			at := l.LEDs[led].At
			out.LEDs[led] = [3]float64{at.X, at.Y, float64(g)}
		}
	}
	for _, z := range l.Zones {
		out.Zones = append(out.Zones, zoneView{z.Name, z.Groups})
	}
	for _, p := range l.Paths {
		out.Paths = append(out.Paths, pathView{p.Name, pairs(p.Points)})
	}
	for _, f := range l.Functions {
		out.Functions = append(out.Functions, functionView{f.Name, f.Groups, f.Required})
	}
	return out
}

func pairs(points []lamp.Point) [][2]float64 {
	out := make([][2]float64, len(points))
	for i, p := range points {
		out[i] = [2]float64{p.X, p.Y}
	}
	return out
}

func seenRoutine(k *kit.Kit, r *kit.Routine) routineView {
	out := routineView{Name: r.Name, Lamps: []string{}}
	for _, l := range k.Lamps {
		if b := r.On(l); b != nil {
			out.Lamps = append(out.Lamps, l.Name)
			out.MS, out.Strokes = b.Light.Length(), len(b.Light.Strokes)
		}
	}
	return out
}

// sizes enters what compiling found.
func (v *view) sizes(m *made) {
	if m.result == nil {
		return
	}
	v.timings(m)
	for i := range v.Modules {
		for _, c := range m.result.Modules {
			if c.Of.Name == v.Modules[i].Name {
				v.Modules[i].Bytes, v.Modules[i].Fades = len(c.Image), c.Fades
			}
		}
	}
}
