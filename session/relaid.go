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
func relaid(s *State, edits []source.Edit, became func(group string) string) ([]source.Edit, report.List) {
	next, faults := s.File.Apply(edits...)
	if next == nil {
		return nil, faults
	}
	if s.Seen == nil || s.Document == nil {
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
	after := resolved(s, next)
	if after == nil {
		return edits, nil
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
		if next, faults = next.Apply(dead...); next == nil {
			return nil, faults
		}
		if after = resolved(s, next); after == nil {
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

// resolved gives what is understood of a changed file; nil when a lamp cannot be. A lamp that has no LED yet is no such fault.
func resolved(s *State, f *source.File) *State {
	doc, list := job.Of(f)
	if doc == nil || list.HasErrors() {
		return nil
	}
	seen, list := kit.Build(doc, kit.Beside(s.Path))
	for _, d := range list {
		if at := f.PathAt(d.Place); d.Severity == report.StopWork && d.ID != "no-led" && (len(at) == 0 || at[0] == "lamps" || at[0] == "parts") {
			return nil
		}
	}
	if seen == nil {
		seen = kit.Understood(doc, kit.Beside(s.Path))
	}
	return &State{Path: s.Path, File: f, Document: doc, Seen: seen}
}

// worse gives what stops work in a lamp after edits and did not before: such edits are refused, for they only break what was whole.
func worse(s *State, lamp string, edits []source.Edit) report.List {
	if s.Document == nil {
		return nil
	}
	for _, d := range s.Problems {
		if at := s.File.PathAt(d.Place); d.Severity == report.StopWork && d.ID != "no-led" && len(at) > 1 && at[0] == "lamps" && at[1] == lamp {
			return nil // it was not whole
		}
	}
	next, faults := s.File.Apply(edits...)
	if next == nil {
		return faults
	}
	doc, list := job.Of(next)
	if doc != nil && !list.HasErrors() {
		_, more := kit.Build(doc, kit.Beside(s.Path))
		list = append(list, more...)
	}
	var wrong report.List
	for _, d := range next.Finish(list) {
		if at := next.PathAt(d.Place); d.Severity == report.StopWork && d.ID != "no-led" && len(at) > 1 && at[0] == "lamps" && at[1] == lamp {
			wrong = append(wrong, d)
		}
	}
	return wrong
}
