package session

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
)

// A journal keeps a history on disk: one line of JSON a step, and a line for each undo and redo. It is a convenience:
// when it cannot be read or written the job goes on without it, and what it says is used only as far as the revisions agree.
type journal struct {
	path  string // "": nothing is kept
	lines int
}

type journalLine struct {
	Step *step `json:"step,omitempty"`
	Made *int  `json:"made,omitempty"` // how many steps stand from here on
}

// newJournal names the journal of a job file within a folder; no folder, no journal.
func newJournal(folder, job string) *journal {
	if folder == "" {
		return &journal{}
	}
	if full, err := filepath.Abs(job); err == nil {
		job = full
	}
	return &journal{path: filepath.Join(folder, filepath.Base(job)+"-"+revisionOf(job)+".steps")}
}

// read gives the history that was kept; a line that is cut off or damaged ends it.
func (j *journal) read() (h history) {
	if j.path == "" {
		return h
	}
	text, err := os.ReadFile(j.path)
	if err != nil {
		return h
	}
	for raw := range bytes.Lines(text) {
		var line journalLine
		if json.Unmarshal(raw, &line) != nil {
			break
		}
		j.lines++
		switch {
		case line.Step != nil:
			h.add(*line.Step)
		case line.Made != nil && *line.Made >= 0 && *line.Made <= len(h.steps):
			h.made = *line.Made
		}
	}
	return h
}

// append adds what has just happened; a journal grown long is written anew.
func (j *journal) append(h *history, line journalLine) {
	if j.path == "" {
		return
	}
	if j.lines > 4*MostSteps {
		j.rewrite(h)
		return
	}
	if os.MkdirAll(filepath.Dir(j.path), 0o700) != nil {
		return
	}
	f, err := os.OpenFile(j.path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return
	}
	defer f.Close()
	text, err := json.Marshal(line)
	if err != nil {
		return
	}
	if _, err := f.Write(append(text, '\n')); err == nil {
		j.lines++
	}
}

// rewrite writes the whole history beside the journal and renames.
func (j *journal) rewrite(h *history) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	for i := range h.steps {
		if enc.Encode(journalLine{Step: &h.steps[i]}) != nil {
			return
		}
	}
	if enc.Encode(journalLine{Made: &h.made}) != nil {
		return
	}
	if os.MkdirAll(filepath.Dir(j.path), 0o700) != nil {
		return
	}
	beside := j.path + ".new"
	if os.WriteFile(beside, out.Bytes(), 0o600) == nil && os.Rename(beside, j.path) == nil {
		j.lines = len(h.steps) + 1
	}
}
