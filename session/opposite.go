package session

import (
	"encoding/json"
	"slices"
	"strings"

	"lampwright/report"
	"lampwright/source"
)

var _ = enter(Command{
	Name: "opposite", Says: "make the lamp of the other side: its reflection, with a module, wires and signals of its own",
	Args: map[string]string{"of": "the lamp", "name": "the new lamp", "module": "the new module; left out: none"},
	plan: func(s *State, raw json.RawMessage) (string, []source.Edit, report.List) {
		var a struct{ Of, Name, Module string }
		if faults := arguments("opposite", raw, &a); faults != nil {
			return "", nil, faults
		}
		tree := s.File.Tree()
		if _, there := at(tree, source.Path{"lamps", a.Of}); !there {
			return "", nil, refuse("choose a lamp of the job", "there is no lamp %q", a.Of)
		}
		for _, p := range []source.Path{{"lamps", a.Name}, {"modules", a.Module}} {
			if _, taken := at(tree, p); taken {
				return "", nil, refuse("choose another name", "there is a %s already", spoken(p))
			}
			if problem := source.NameProblem(p[1]); problem != "" && p[1] != "" {
				return "", nil, refuse("use "+source.NameExpected, "%q cannot be a name: %s", p[1], problem)
			}
		}
		o := opposing{tree: tree, of: a.Of, lamp: a.Name, module: a.Module}
		o.edit(source.Insert(source.Path{"lamps"}, a.Name, source.Fields{{Key: "opposite-hand-of", Value: a.Of}}))
		if a.Module != "" {
			if from, found := o.drives(a.Of); found {
				o.copyModule(from)
				o.wires(from)
			}
		}
		o.layers("signals")
		o.layers("shows")
		o.across()
		return "make the opposite hand of " + a.Of, o.edits, nil
	},
})

// opposing collects the edits that make an opposite hand.
type opposing struct {
	tree             any
	of, lamp, module string
	edits            []source.Edit
}

func (o *opposing) edit(e ...source.Edit) { o.edits = append(o.edits, e...) }

// otherSide gives a name of the other side: lh becomes rh, left becomes right, and the reverse.
func otherSide(name string) string {
	words := strings.Split(name, "-")
	for i, w := range words {
		switch w {
		case "lh":
			words[i] = "rh"
		case "rh":
			words[i] = "lh"
		case "left":
			words[i] = "right"
		case "right":
			words[i] = "left"
		}
	}
	return strings.Join(words, "-")
}

// fields gives the mapping at a path, or none.
func (o *opposing) fields(path ...string) source.Fields {
	value, _ := at(o.tree, path)
	f, _ := value.(source.Fields)
	return f
}

func get(f source.Fields, key string) any {
	for _, field := range f {
		if field.Key == key {
			return field.Value
		}
	}
	return nil
}

// drives finds the module of a lamp.
func (o *opposing) drives(lamp string) (string, bool) {
	for _, m := range o.fields("modules") {
		if f, ok := m.Value.(source.Fields); ok && get(f, "lamp") == lamp {
			return m.Key, true
		}
	}
	return "", false
}

// copyModule gives the new lamp a module like that of the first, soldered the same way until the walk says otherwise.
func (o *opposing) copyModule(from string) {
	var next source.Fields
	for _, f := range o.fields("modules", from) {
		switch f.Key {
		case "lamp":
			f.Value = o.lamp
		case "link":
			f.Value = "follower"
		case "note", "same-image-as":
			continue
		}
		next = append(next, source.Field{Key: f.Key, Value: plainly(f.Value)})
	}
	o.edit(source.Insert(source.Path{"modules"}, o.module, next))
}

// wires leads every input of the first module to the second as well; a turn goes to the turn of the other side.
func (o *opposing) wires(from string) {
	inputs := o.fields("inputs")
	for _, in := range inputs {
		f, ok := in.Value.(source.Fields)
		if !ok {
			continue
		}
		var pins []any
		for _, p := range list(get(f, "wire")) {
			if pin, ok := p.(string); ok && strings.HasPrefix(pin, from+".") {
				pins = append(pins, o.module+strings.TrimPrefix(pin, from))
			}
		}
		if len(pins) == 0 {
			continue
		}
		other := in.Key
		if strings.HasPrefix(in.Key, "turn-") {
			other = otherSide(in.Key)
		}
		have := get(inputs, other)
		if have == nil {
			next := source.Fields{}
			for _, field := range f {
				if field.Key == "wire" {
					field.Value = oneOrList(pins)
				}
				next = append(next, source.Field{Key: field.Key, Value: plainly(field.Value)})
			}
			o.edit(source.InsertAfter(source.Path{"inputs"}, in.Key, other, next))
			continue
		}
		theirs, _ := have.(source.Fields)
		o.edit(source.Set(source.Path{"inputs", other, "wire"}, oneOrList(append(list(get(theirs, "wire")), pins...))))
	}
}

// list gives a value that may be one or several as several.
func list(value any) []any {
	switch v := value.(type) {
	case nil:
		return nil
	case []any:
		return slices.Clone(v)
	}
	return []any{value}
}

func oneOrList(values []any) any {
	if len(values) == 1 {
		return values[0]
	}
	return values
}

// layers lets what takes the first lamp take the second too: a turn gets a signal of the other side, any other layer both lamps.
func (o *opposing) layers(kind string) {
	value, _ := at(o.tree, source.Path{kind})
	items, _ := value.([]any)
	added := 0
	for i, item := range items {
		named, ok := item.(source.Fields)
		if !ok || len(named) != 1 {
			continue
		}
		f, ok := named[0].Value.(source.Fields)
		if !ok {
			continue
		}
		var ours, theirs []any
		for _, r := range list(get(f, "takes")) {
			ours = append(ours, r)
			if region, ok := r.(string); ok && (region == o.of || strings.HasPrefix(region, o.of+".")) {
				theirs = append(theirs, o.lamp+strings.TrimPrefix(region, o.of))
			}
		}
		if len(theirs) == 0 {
			continue
		}
		path := source.Path{kind, source.Index(i + added), named[0].Key}
		input, _ := get(f, "input").(string)
		if !strings.HasPrefix(input, "turn-") {
			o.edit(source.Set(path.With("takes"), append(ours, theirs...)))
			continue
		}
		var next source.Fields
		for _, field := range f {
			switch field.Key {
			case "takes":
				field.Value = oneOrList(theirs)
			case "input":
				field.Value = otherSide(input)
			}
			next = append(next, source.Field{Key: field.Key, Value: plainly(field.Value)})
		}
		name := otherSide(named[0].Key)
		if name == named[0].Key {
			name = named[0].Key + "-" + o.lamp
		}
		added++
		o.edit(source.AddBefore(source.Path{kind}, i+added, source.Fields{{Key: name, Value: next}}))
	}
}

// across lets routines that run across the first lamp run across the second too.
func (o *opposing) across() {
	for _, r := range o.fields("routines") {
		f, _ := r.Value.(source.Fields)
		if slices.Contains(list(get(f, "across")), any(o.of)) {
			o.edit(source.Append(source.Path{"routines", r.Key, "across"}, o.lamp))
		}
	}
}
