package session

import (
	"errors"

	"lampwright/report"
	"lampwright/source"
)

// Stale is the id of the refusal to change a revision that is no longer the latest.
const Stale = "stale"

// Apply makes edits of the text as one step, and saves. base is the revision that the edits were made for. On failure
// nothing has changed and the list says why; a save that fails is no failure of the change: the state says it.
func (d *Desk) Apply(base, label string, edits ...source.Edit) report.List {
	return d.change(base, label, func(f *source.File) (*source.File, report.List) {
		if f == nil {
			return nil, report.List{report.Errorf("unreadable", report.Place{File: d.path}, "the text cannot be read, so nothing can be changed in it").
				Do("mend the text first, at the places that are named")}
		}
		return f.Apply(edits...)
	})
}

// SetText makes a whole new text the document's, as one step. Only a text that can be read as YAML is taken.
func (d *Desk) SetText(base, text string) report.List {
	return d.change(base, labelText, func(*source.File) (*source.File, report.List) { return d.parse(text) })
}

// change makes one step of what a function makes of the file.
func (d *Desk) change(base, label string, make func(*source.File) (*source.File, report.List)) report.List {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.look()
	if list := d.current(base); list != nil {
		return list
	}
	next, list := make(d.state.File)
	if next == nil {
		return list
	}
	text := string(next.Text())
	d.step(label, text)
	d.file, d.fileText = next, text
	d.store()
	d.derive()
	return nil
}

// current refuses a base that is not the latest revision.
func (d *Desk) current(base string) report.List {
	if base == d.state.Revision {
		return nil
	}
	return report.List{report.Errorf(Stale, report.Place{File: d.path}, "the job has changed meanwhile, in another window or program").
		Because("what you did was meant for the job as it was before").
		Do("look at the job as it is now and do it again")}
}

// step makes a text the latest; the same text is no step.
func (d *Desk) step(label, text string) {
	if text == d.text {
		return
	}
	s := stepBetween(label, d.text, text)
	d.history.add(s)
	d.journal.append(&d.history, journalLine{Step: &s})
	d.text = text
}

// Undo takes the last step back, and Redo makes it again. With nothing to do they do nothing.
func (d *Desk) Undo(base string) report.List { return d.travel(base, -1) }

// Redo is told at Undo.
func (d *Desk) Redo(base string) report.List { return d.travel(base, +1) }

func (d *Desk) travel(base string, way int) report.List {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.look()
	if list := d.current(base); list != nil {
		return list
	}
	h := &d.history
	var text string
	var fits bool
	switch {
	case way < 0 && h.last() != nil:
		text, fits = h.last().back(d.text)
	case way > 0 && h.next() != nil:
		text, fits = h.next().forth(d.text)
	default:
		return nil
	}
	if !fits { // only a damaged journal can bring this; its steps are worth nothing then
		d.history = history{}
		d.derive()
		return report.List{report.Errorf("steps", report.Place{File: d.path}, "the kept steps do not fit the text").
			Because("the record of steps is damaged").Do("go on from here; the text itself is whole")}
	}
	d.text = text
	h.made += way
	d.journal.append(h, journalLine{Made: &h.made})
	d.store()
	d.derive()
	return nil
}

// store saves the text; the state tells when that fails, and Retry tries again.
func (d *Desk) store() {
	d.save = nil
	f, _ := d.parsed()
	if f == nil { // undo may lead back to a text that was broken from outside
		d.save = saveFault(report.Errorf("save", report.Place{File: d.path}, "a text that cannot be read is not saved").
			Do("mend the text at the places that are named"))
		return
	}
	if err := f.SaveOn(d.disk, d.path); err != nil {
		var fault report.Diagnostic
		if !errors.As(err, &fault) {
			fault = report.Errorf("save", report.Place{File: d.path}, "the file was not saved").Do("save again")
		}
		d.save = saveFault(fault)
		return
	}
	d.saved, d.missing = revisionOf(d.text), false
}

func saveFault(d report.Diagnostic) *report.Diagnostic { return &d }

// Save tries again what could not be saved.
func (d *Desk) Save() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.look()
	if d.saved != revisionOf(d.text) || d.missing {
		d.store()
	}
	d.derive()
}
