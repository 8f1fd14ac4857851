package session

import (
	"errors"
	"io/fs"
	"sync"

	"lampwright/job"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

// Options of a desk. The zero value works on the machine's own disk and keeps its steps in memory alone.
type Options struct {
	Disk  source.Disk // nil: source.TheDisk
	Steps string      // folder that keeps the steps over a restart; "": they are not kept
}

// Desk is one open job. It is safe for use by several goroutines.
type Desk struct {
	mu      sync.Mutex
	path    string
	disk    source.Disk
	journal *journal
	history history

	text     string       // what is on the screen
	file     *source.File // of fileText, what was parsed last
	fileText string
	saved    string // revision that the disk held when it was last looked at
	missing  bool   // the file is gone from the disk
	save     *report.Diagnostic
	state    *State
	states   int // so far
	watch    []chan struct{}
}

// State is one revision of the job and what was made of it. It does not change once given.
type State struct {
	Path     string
	Number   int // counts the states of a desk, from 1
	Revision string
	Text     string
	File     *source.File       // nil when the text is no YAML of ours
	Document *job.Document      // nil when the file cannot be read as a job at all
	Seen     *kit.Kit           // what could be understood, to be looked at; nil when there is no document
	Kit      *kit.Kit           // nil when something stops work
	Problems report.List        // what stops work, with places in the text
	Saved    bool               // the disk holds this revision
	Save     *report.Diagnostic // why it could not be saved
	Undo     string             // label of the step that undo takes back, ""
	Redo     string             // label of the step that redo makes again, ""
}

// Labels of steps that no command of a window made.
const (
	labelElsewhere = "change in another program"
	labelText      = "edit of the text"
)

// Open opens a job file, broken or not. The error is a report.Diagnostic; only a file that cannot be read at all is one.
func Open(path string, opt Options) (*Desk, error) {
	if opt.Disk == nil {
		opt.Disk = source.TheDisk
	}
	d := &Desk{path: path, disk: opt.Disk, journal: newJournal(opt.Steps, path)}
	text, err := d.read()
	if err != nil {
		return nil, err
	}
	d.text, d.saved = text, revisionOf(text)
	d.history = d.journal.read()
	if !d.history.find(d.saved) {
		d.history = history{}
	}
	d.derive()
	return d, nil
}

// read gives what the disk holds.
func (d *Desk) read() (string, error) {
	fail := func(why string) error {
		return report.Errorf("open", report.Place{File: d.path}, "the job file cannot be read: %s", why).
			Do("check the name, the folder and its permissions; lampwright new FILE makes a new job")
	}
	info, err := d.disk.Stat(d.disk.Resolve(d.path))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", fail("there is no such file")
	case err != nil:
		return "", fail("it is out of reach")
	case info.IsDir():
		return "", fail("it is a folder")
	case info.Size() > source.TextLimitBytes:
		return "", fail("it is larger than 4 MiB, which no job needs")
	}
	text, err := d.disk.ReadFile(d.path)
	if err != nil {
		return "", fail("the disk does not give it")
	}
	return string(text), nil
}

// State gives the latest revision.
func (d *Desk) State() *State {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.state
}

// derive makes the state of the text.
func (d *Desk) derive() {
	d.states++
	s := &State{Path: d.path, Number: d.states, Revision: revisionOf(d.text), Text: d.text, Save: d.save}
	s.Saved = d.saved == s.Revision && !d.missing
	if last := d.history.last(); last != nil {
		s.Undo = last.Label
	}
	if next := d.history.next(); next != nil {
		s.Redo = next.Label
	}
	if d.state != nil && d.state.Revision == s.Revision {
		s.File, s.Document, s.Kit, s.Seen, s.Problems = d.state.File, d.state.Document, d.state.Kit, d.state.Seen, d.state.Problems
	} else {
		s.File, s.Problems = d.parsed()
		if s.File != nil {
			s.Document, s.Problems = job.Of(s.File)
			if s.Document != nil && s.Problems.HasErrors() {
				s.Seen = understood(s.File, s.Problems, kit.Beside(d.path))
			} else if s.Document != nil {
				var more report.List
				s.Kit, s.Seen, more = kit.Resolve(s.Document, kit.Beside(d.path))
				s.Problems = s.File.Finish(append(s.Problems, more...))
			}
		}
	}
	d.state = s
	for _, c := range d.watch {
		select {
		case c <- struct{}{}:
		default: // it has not looked since the last change; one word is enough
		}
	}
}

// parsed gives the text as YAML; what an edit has parsed already is not parsed again.
func (d *Desk) parsed() (*source.File, report.List) {
	if d.file == nil || d.fileText != d.text {
		file, list := d.parse(d.text)
		if file == nil {
			return nil, list
		}
		d.file, d.fileText = file, d.text
	}
	return d.file, nil
}

// parse reads a text as YAML; where it is like what was parsed last, not all of it is read again.
func (d *Desk) parse(text string) (*source.File, report.List) {
	if d.file == nil {
		return source.Parse(d.path, []byte(text))
	}
	return d.file.Reparse([]byte(text))
}

// Watch gives a channel that receives after changes, at least once after the last. Close ends it.
func (d *Desk) Watch() (changed <-chan struct{}, close func()) {
	d.mu.Lock()
	defer d.mu.Unlock()
	c := make(chan struct{}, 1)
	d.watch = append(d.watch, c)
	return c, func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		for i, other := range d.watch {
			if other == c {
				d.watch = append(d.watch[:i:i], d.watch[i+1:]...)
				return
			}
		}
	}
}
