package session

import (
	"slices"

	"lampwright/job"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

// relaid completes the edits of a layout, so that the wiring maps fit the lamp afterwards: each group keeps its output, a group that is
// gone frees its own, and a new one hangs on none. became gives a group's name afterwards and may be nil. Where the edits break the job the
// maps are left alone.
//
// Edits that break the named lamp, when it was whole, are refused with what is wrong. Without a name none are.
func relaid(s *State, lamp string, edits []source.Edit, became func(group string) string) ([]source.Edit, report.List) {
	tried, faults := outcomeOf(s, edits)
	if tried == nil {
		return nil, faults
	}
	if wrong := tried.in(lamp); lamp != "" && wrong != nil && whole(s, lamp) {
		return nil, wrong
	}
	after := tried.state
	if s.Seen == nil || s.Document == nil || after == nil {
		return edits, nil
	}
	before := map[string]map[string]int{} // module, group, output (1-based)
	for _, m := range s.Seen.Modules {
		if len(m.Output) != len(m.Lamp.Groups) {
			continue
		}
		outputs := map[string]int{}
		for g, o := range m.Output {
			outputs[m.Lamp.Groups[g].Name] = o + 1
		}
		if became != nil {
			for _, g := range m.Lamp.Groups { // a group that stays keeps its own; else the first that went into it has a say
				if name := became(g.Name); outputs[name] == 0 {
					outputs[name] = outputs[g.Name]
				}
			}
		}
		before[m.Name] = outputs
	}
	var dead []source.Edit
	for _, m := range after.Seen.Modules {
		doc, _ := after.Document.Modules.Get(m.Name)
		if before[m.Name] == nil || m.Lamp == nil {
			continue
		}
		var gone []source.Edit
		for _, e := range doc.Wiring.Entries() {
			if len(groupsNamed(m.Lamp, e.Name.Text)) == 0 {
				gone = append(gone, source.Delete(source.Path{"modules", m.Name, "wiring", e.Name.Text}))
			}
		}
		if len(gone) == doc.Wiring.Len() && len(gone) > 0 {
			gone = []source.Edit{source.Set(source.Path{"modules", m.Name, "wiring"}, source.Fields{})}
		}
		dead = append(dead, gone...)
	}
	if len(dead) > 0 {
		next, faults := tried.file.Apply(dead...)
		if next == nil {
			return nil, faults
		}
		if after = resolved(s, next).state; after == nil {
			return edits, nil
		}
		edits = append(edits, dead...)
	}
	for _, m := range after.Seen.Modules {
		outputs := before[m.Name]
		if outputs == nil || m.Lamp == nil {
			continue
		}
		outputOf := make([]int, len(m.Lamp.Groups))
		for g := range outputOf {
			outputOf[g] = outputs[m.Lamp.Groups[g].Name]
		}
		if doc, _ := after.Document.Modules.Get(m.Name); doc.Wiring.Len() > 0 || slices.ContainsFunc(outputOf, func(o int) bool { return o > 0 }) {
			edits = append(edits, wiringEdits(after, m, outputOf)...)
		}
	}
	return edits, nil
}

// outcome is what edits would make of a job.
type outcome struct {
	state *State      // file, document and what is seen; nil when a lamp cannot be understood
	wrong report.List // what would stop work, with its places in the file
	file  *source.File
}

// outcomeOf tries edits out. A lamp that has no LED yet is no fault of a layout.
func outcomeOf(s *State, edits []source.Edit) (*outcome, report.List) {
	next, faults := s.File.Apply(edits...)
	if next == nil {
		return nil, faults
	}
	return resolved(s, next), nil
}

func resolved(s *State, f *source.File) *outcome {
	o := &outcome{file: f}
	doc, list := job.Of(f)
	broken := doc == nil || list.HasErrors()
	if !broken {
		_, seen, more := kit.Resolve(doc, kit.Beside(s.Path))
		list = append(list, more...)
		o.state = &State{Path: s.Path, File: f, Document: doc, Seen: seen}
	}
	for _, d := range list {
		if d.Severity != report.StopWork || d.ID == "no-led" {
			continue
		}
		o.wrong = append(o.wrong, d)
		if at := f.PathAt(d.Place); len(at) == 0 || at[0] == "lamps" || at[0] == "parts" {
			o.state = nil
		}
	}
	return o
}

// in gives what would stop work in a lamp.
func (o *outcome) in(lamp string) (wrong report.List) {
	for _, d := range o.file.Finish(o.wrong) {
		if at := o.file.PathAt(d.Place); len(at) > 1 && at[0] == "lamps" && at[1] == lamp {
			wrong = append(wrong, d)
		}
	}
	return wrong
}

// whole tells whether nothing in a lamp stops work. What is broken already may be changed in any way, for that may mend it.
func whole(s *State, lamp string) bool {
	for _, d := range s.Problems {
		if at := s.File.PathAt(d.Place); d.Severity == report.StopWork && d.ID != "no-led" && len(at) > 1 && at[0] == "lamps" && at[1] == lamp {
			return false
		}
	}
	return true
}
