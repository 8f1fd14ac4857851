package web

import (
	"errors"
	"io/fs"
	"net/http"
	"os"

	"lampwright/source"
)

// postScripts keeps a script beside the job as NAME.script, for Proof and for lampwright play. One that is there is written over only when
// the window says so.
func (s *Server) postScripts(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Name string `json:"name"`
		Text string `json:"text"`
		Over bool   `json:"over"`
	}
	if !read(w, r, &q) {
		return
	}
	if problem := source.NameProblem(q.Name); problem != "" || len(q.Name) > 60 {
		refuse(w, r, one("use small letters, digits and single hyphens, such as two-flashes", "a script cannot be called %q", q.Name))
		return
	}
	k := s.desk.Load().State().Kit
	if k == nil {
		refuse(w, r, one("mend what stops work first; the text stays in the field", "a broken job cannot tell whether the script is right"))
		return
	}
	if _, faults := presses(k, q.Text); faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	root, err := s.beside()
	if err == nil {
		defer root.Close()
		err = keepScript(root, q.Name+scriptEnd, q.Text, q.Over)
	}
	switch {
	case errors.Is(err, fs.ErrExist):
		refuse(w, r, one("choose another name, or write over it", "there is a script %s already, and it says something else", q.Name))
	case err != nil:
		refuse(w, r, one("check the folder, its permissions and the free space", "the script cannot be kept beside the job file"))
	default:
		answer(w, r, http.StatusOK, struct {
			Name string `json:"name"`
		}{q.Name})
	}
}

// keepScript writes a script whole or not at all. One that says the same already is left as it is.
func keepScript(root *os.Root, name, text string, over bool) error {
	if text == "" || text[len(text)-1] != '\n' {
		text += "\n"
	}
	if !over {
		switch there, err := root.ReadFile(name); {
		case err == nil && string(there) == text:
			return nil
		case !errors.Is(err, fs.ErrNotExist):
			return fs.ErrExist
		}
	}
	return keepBeside(root, name, []byte(text))
}
