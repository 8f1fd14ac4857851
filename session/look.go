package session

import (
	"errors"
	"io/fs"
	"time"

	"lampwright/report"
)

// Look looks whether another program has changed the file, and takes its text over as a step of its own.
// A change of ours that is not saved yet stays among the steps: undo leads back to it.
func (d *Desk) Look() {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.look() {
		d.derive()
	}
}

// look tells whether the state must be derived anew.
func (d *Desk) look() bool {
	info, err := d.disk.Stat(d.disk.Resolve(d.path))
	if err != nil {
		if d.missing || !errors.Is(err, fs.ErrNotExist) {
			return false
		}
		d.missing = true
		d.save = saveFault(report.Errorf("save", report.Place{File: d.path}, "the job file is no longer on the disk").
			Because("it was moved or deleted by another program; all of it is still here").
			Do("save to write it again under its old name"))
		return true
	}
	if info.IsDir() {
		return false
	}
	text, err := d.read()
	if err != nil {
		return false
	}
	back := d.missing
	if revision := revisionOf(text); revision == d.saved {
		d.missing = false
		if back {
			d.save = nil
		}
		return back
	}
	d.missing, d.save = false, nil
	d.saved = revisionOf(text)
	d.step(labelElsewhere, text)
	d.derive()
	return true
}

// LookEvery looks at the disk again and again until done is closed. tick is a clock's.
func (d *Desk) LookEvery(tick <-chan time.Time, done <-chan struct{}) {
	for {
		select {
		case <-done:
			return
		case <-tick:
			d.Look()
		}
	}
}
