package web

import (
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"lampwright/program"
	"lampwright/session"
	"lampwright/source"
)

// walksEnd is how the file beside a job ends in which its walks are noted: pickup.walks.json of pickup.yaml.
const walksEnd = ".walks.json"

// Bounds of what is noted.
const (
	mostWalkBytes = 1 << 20
	mostNotes     = 2000 // of one walk; each output is seen a few times at most
	mostWalks     = 200
	mostLit       = 200 // letters of a group's name
)

// walk is what was seen when a module lit one output after another, until it is entered into the job or dropped.
type walk struct {
	At    int        `json:"at"` // output that is asked for, from 1; 0: none any more
	Notes []walkNote `json:"notes"`
}

// walkNote is what lit on an output: a group, more than one, or nothing.
type walkNote struct {
	Output int    `json:"output"`
	Lit    string `json:"lit,omitempty"`
	More   bool   `json:"more,omitempty"`
}

// walks tells windows when something is noted; the file beside the job holds what.
type walks struct {
	mu      sync.Mutex // held while the file is read and written
	edition int        // counts what was noted since the program was started
	tell    map[chan struct{}]bool
}

// watch gives a channel that receives at once and whenever something is noted.
func (k *walks) watch() (chan struct{}, func()) {
	c := make(chan struct{}, 1)
	c <- struct{}{}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.tell == nil {
		k.tell = map[chan struct{}]bool{}
	}
	k.tell[c] = true
	return c, func() {
		k.mu.Lock()
		delete(k.tell, c)
		k.mu.Unlock()
	}
}

// walksView is what a window is told of walks.
type walksView struct {
	Edition int             `json:"edition"` // an answer to a note says the same number: by then the note is in what is told
	Walks   map[string]walk `json:"walks,omitempty"`
}

// walksNews gives all walks of the job as JSON; none where they cannot be read, which who notes something is told.
func (s *Server) walksNews() string {
	s.walks.mu.Lock()
	defer s.walks.mu.Unlock()
	v := walksView{Edition: s.walks.edition}
	if s.desk.Load() != nil {
		v.Walks, _ = s.readWalks()
	}
	text, _ := json.Marshal(v) // of numbers and texts alone
	return string(text)
}

// postWalks notes a walk of a module. The window says which one it had, so that nobody's notes are lost to those of another window.
func (s *Server) postWalks(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Module string `json:"module"`
		Was    walk   `json:"was"`
		Walk   walk   `json:"walk"`
	}
	if !read(w, r, &q) {
		return
	}
	if source.NameProblem(q.Module) != "" || !q.Walk.fits() {
		refuse(w, r, one("load the page again", "that is no walk of a module"))
		return
	}
	s.walks.mu.Lock()
	defer s.walks.mu.Unlock()
	all, err := s.readWalks()
	if err != nil {
		refuse(w, r, one("move it elsewhere, or delete it", "the notes in %s cannot be read", s.walksFile()))
		return
	}
	// What is noted so already is no fault: the answer to it may have been lost.
	if is := all[q.Module].Notes; !slices.Equal(q.Was.Notes, is) && !slices.Equal(q.Walk.Notes, is) {
		list := one("go on from what is noted now", "another window has noted something in the walk of %s meanwhile", q.Module)
		list[0].ID = session.Stale
		refuse(w, r, list)
		return
	}
	if len(q.Walk.Notes) == 0 && q.Walk.At <= 1 {
		delete(all, q.Module)
	} else if all[q.Module] = q.Walk; len(all) > mostWalks {
		refuse(w, r, one("enter or drop some first", "more than %d walks are noted in this job", mostWalks))
		return
	}
	if err := s.writeWalks(all); err != nil {
		refuse(w, r, one("check the folder, its permissions and the free space; the notes stay in this window", "the notes cannot be kept beside the job file"))
		return
	}
	s.walks.edition++
	for c := range s.walks.tell {
		select {
		case c <- struct{}{}:
		default:
		}
	}
	answer(w, r, http.StatusOK, walksView{Edition: s.walks.edition})
}

// fits tells whether a walk can be one.
func (k walk) fits() bool {
	fine := k.At >= 0 && k.At <= program.MaxOutputs && len(k.Notes) <= mostNotes
	for _, n := range k.Notes {
		fine = fine && n.Output >= 1 && n.Output <= program.MaxOutputs && len(n.Lit) <= mostLit && !(n.More && n.Lit != "")
	}
	return fine
}

// walksFile gives the name of the file beside the job.
func (s *Server) walksFile() string {
	name := filepath.Base(s.desk.Load().State().Path)
	return strings.TrimSuffix(name, filepath.Ext(name)) + walksEnd
}

var errWalks = errors.New("no notes of walks")

// readWalks reads what is noted; no file is no notes.
func (s *Server) readWalks() (map[string]walk, error) {
	root, err := s.beside()
	if err != nil {
		return nil, err
	}
	defer root.Close()
	info, err := root.Stat(s.walksFile())
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return map[string]walk{}, nil
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular() || info.Size() > mostWalkBytes: // a pipe would be waited for
		return nil, errWalks
	}
	text, err := root.ReadFile(s.walksFile())
	if err != nil {
		return nil, err
	}
	var all map[string]walk
	if err := json.Unmarshal(text, &all); err != nil || all == nil {
		return nil, errWalks
	}
	for name, k := range all {
		if source.NameProblem(name) != "" || !k.fits() {
			return nil, errWalks
		}
	}
	return all, nil
}

// writeWalks keeps what is noted; where nothing is, no file is left.
func (s *Server) writeWalks(all map[string]walk) error {
	root, err := s.beside()
	if err != nil {
		return err
	}
	defer root.Close()
	if len(all) == 0 {
		if err := root.Remove(s.walksFile()); !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	}
	text, err := json.MarshalIndent(all, "", " ")
	if err != nil {
		return err
	}
	return keepBeside(root, s.walksFile(), append(text, '\n'))
}
