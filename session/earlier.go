package session

import (
	"lampwright/job"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

// Earlier is one revision that undo leads back to.
type Earlier struct {
	Revision string `json:"revision"`
	Label    string `json:"label"` // of the step that was made then, which this revision does not have
}

// Earlier lists the revisions before the latest one, the newest first, at most so many.
func (d *Desk) Earlier(most int) []Earlier {
	d.mu.Lock()
	defer d.mu.Unlock()
	all := []Earlier{}
	for i := d.history.made - 1; i >= 0 && len(all) < most; i-- {
		s := d.history.steps[i]
		all = append(all, Earlier{s.Before, s.Label})
	}
	return all
}

// KitAt builds the job of the latest revision, of an earlier one, or of the latest as edits would make it: nothing is changed by it.
// An empty revision is the latest. On failure the kit is nil and the list says why.
func (d *Desk) KitAt(revision string, edits []source.Edit) (*kit.Kit, report.List) {
	s := d.State()
	if revision != "" && revision != s.Revision {
		text, known := d.textAt(revision)
		if !known {
			return nil, refuse("choose another step, or look at the job as it is now", "this step of the job is not kept any more")
		}
		return built(d.path, text)
	}
	if len(edits) == 0 {
		if s.Kit == nil {
			return nil, refuse("mend what stops work first", "a broken job has no light to show")
		}
		return s.Kit, nil
	}
	if s.File == nil {
		return nil, refuse("mend the text first", "the text cannot be read, so nothing can be tried on it")
	}
	tried := make([]source.Edit, len(edits))
	for i, e := range edits {
		e.Value = plainly(e.Value)
		tried[i] = e
	}
	next, faults := s.File.Apply(tried...)
	if next == nil {
		return nil, faults
	}
	return built(d.path, string(next.Text()))
}

// textAt goes back along the steps to a revision.
func (d *Desk) textAt(revision string) (string, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	text := d.text
	for i := d.history.made - 1; i >= 0; i-- {
		s := d.history.steps[i]
		var fits bool
		if text, fits = s.back(text); !fits {
			return "", false
		}
		if s.Before == revision {
			return text, true
		}
	}
	return "", false
}

// built makes the kit of a text.
func built(path, text string) (*kit.Kit, report.List) {
	doc, faults := job.Parse(path, []byte(text))
	if doc == nil || faults.HasErrors() {
		return nil, faults
	}
	k, more := kit.Build(doc, kit.Beside(path))
	if k == nil || more.HasErrors() {
		return nil, more
	}
	return k, nil
}
