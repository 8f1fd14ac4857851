package session

import (
	"lampwright/job"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

// mostCutAway is how many broken things are left out before no picture is tried any more.
const mostCutAway = 32

// understood gives what can be shown of a job that is broken: the things in which a fault of the list lies (a lamp, a routine, a signal)
// are left out of a copy of the text until the rest can be read. It is nil when too little is left.
func understood(f *source.File, list report.List, files kit.Files) *kit.Kit {
	for range mostCutAway {
		next := f
		for _, d := range list {
			if d.Severity != report.StopWork {
				continue
			}
			if path := f.PathAt(d.Place); len(path) >= 2 {
				next, _ = f.Apply(source.Delete(path[:2]))
			} else if len(path) == 1 {
				next, _ = f.Apply(source.Delete(path))
			}
			break // what else is wrong is told anew of the rest
		}
		if next == nil || next == f {
			return nil
		}
		f = next
		var doc *job.Document
		if doc, list = job.Of(f); doc == nil {
			return nil
		}
		if !list.HasErrors() {
			_, seen, _ := kit.Resolve(doc, files)
			return seen
		}
	}
	return nil
}
