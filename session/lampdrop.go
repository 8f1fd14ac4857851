package session

import (
	"encoding/json"
	"slices"
	"strings"

	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "drop", Says: "delete a lamp with its opposite hands, its modules with their inputs, and the signals and shows that took it alone",
	Args: map[string]string{"lamp": "its name"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct {
			Lamp string `json:"lamp"`
		}
		if faults := arguments("drop", raw, &a); faults != nil {
			return "", nil, faults
		}
		tree := s.File.Tree()
		value, _ := at(tree, source.Path{"lamps"})
		lamps, _ := value.(source.Fields)
		if !slices.ContainsFunc(lamps, func(f source.Field) bool { return f.Key == a.Lamp }) {
			return "", nil, refuse("choose a lamp of the job", "there is no lamp %q", a.Lamp)
		}
		d := dropping{tree: tree, lamps: hands(tree, a.Lamp)}
		if len(d.lamps) >= len(lamps) {
			return "", nil, refuse("begin the other lamp first", "a job has at least one lamp")
		}
		for _, m := range d.fields("modules") {
			f, _ := m.Value.(source.Fields)
			if lamp, _ := get(f, "lamp").(string); slices.Contains(d.lamps, lamp) {
				d.modules = append(d.modules, m.Key)
			}
		}
		d.layers("signals")
		d.layers("shows")
		d.across()
		d.outages()
		d.inputs()
		d.images()
		for _, m := range d.modules {
			d.edits = append(d.edits, source.Delete(source.Path{"modules", m}))
		}
		for _, l := range slices.Backward(d.lamps) {
			d.edits = append(d.edits, source.Delete(source.Path{"lamps", l}))
		}
		return "delete lamp " + a.Lamp, d.edits, nil
	},
})

// dropping collects the edits that take lamps out of a job. What goes on after them but speaks of them is told as a problem afterwards.
type dropping struct {
	tree           any
	lamps, modules []string
	edits          []source.Edit
}

func (d *dropping) fields(path ...string) source.Fields {
	value, _ := at(d.tree, path)
	f, _ := value.(source.Fields)
	return f
}

// layers takes the lamps out of what signals or shows take; one that took nothing else goes.
func (d *dropping) layers(kind string) {
	value, _ := at(d.tree, source.Path{kind})
	items := list(value)
	for i, item := range slices.Backward(items) {
		named, _ := item.(source.Fields)
		if len(named) != 1 {
			continue
		}
		f, _ := named[0].Value.(source.Fields)
		takes := list(get(f, "takes"))
		left := slices.DeleteFunc(slices.Clone(takes), func(r any) bool {
			text, _ := r.(string)
			head, _, _ := strings.Cut(text, ".")
			return slices.Contains(d.lamps, head)
		})
		switch path := (source.Path{kind, source.Index(i)}); {
		case len(left) == len(takes):
		case len(left) == 0:
			d.edits = append(d.edits, source.Delete(path))
		default:
			d.edits = append(d.edits, source.Set(path.With(named[0].Key, "takes"), oneOrList(left)))
		}
	}
}

// across takes the lamps out of the routines that run across them and others.
func (d *dropping) across() {
	for _, r := range d.fields("routines") {
		f, _ := r.Value.(source.Fields)
		across := list(get(f, "across"))
		left := slices.DeleteFunc(slices.Clone(across), func(l any) bool { name, _ := l.(string); return slices.Contains(d.lamps, name) })
		switch path := (source.Path{"routines", r.Key, "across"}); {
		case len(left) == len(across):
		case len(left) == 0:
			d.edits = append(d.edits, source.Delete(path))
		default:
			d.edits = append(d.edits, source.Set(path, oneOrList(left)))
		}
	}
}

// outages takes out the loads that the modules switch.
func (d *dropping) outages() {
	value, _ := at(d.tree, source.Path{"outages"})
	for i, item := range slices.Backward(list(value)) {
		named, _ := item.(source.Fields)
		if len(named) != 1 {
			continue
		}
		f, _ := named[0].Value.(source.Fields)
		if on, _ := get(f, "on").(string); slices.ContainsFunc(d.modules, func(m string) bool { return strings.HasPrefix(on, m+".") }) {
			d.edits = append(d.edits, source.Delete(source.Path{"outages", source.Index(i)}))
		}
	}
}

// inputs takes the modules' pins off every input; one without a pin goes.
func (d *dropping) inputs() {
	for _, in := range d.fields("inputs") {
		f, _ := in.Value.(source.Fields)
		pins := list(get(f, "wire"))
		left := slices.DeleteFunc(slices.Clone(pins), func(p any) bool {
			text, _ := p.(string)
			module, _, _ := strings.Cut(text, ".")
			return slices.Contains(d.modules, module)
		})
		switch {
		case len(left) == len(pins):
		case len(left) == 0:
			d.edits = append(d.edits, source.Delete(source.Path{"inputs", in.Key}))
		default:
			d.edits = append(d.edits, source.Set(source.Path{"inputs", in.Key, "wire"}, oneOrList(left)))
		}
	}
}

// images gives a module its own image again whose image was that of one that goes.
func (d *dropping) images() {
	for _, m := range d.fields("modules") {
		f, _ := m.Value.(source.Fields)
		of, _ := get(f, "same-image-as").(string)
		if slices.Contains(d.modules, of) && !slices.Contains(d.modules, m.Key) {
			d.edits = append(d.edits, source.Delete(source.Path{"modules", m.Key, "same-image-as"}))
		}
	}
}
