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
	if !scriptName(q.Name) {
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

func scriptName(name string) bool { return source.NameProblem(name) == "" && len(name) <= 60 }

// deleteScripts deletes NAME.script beside the job. The window says what it shows, so that no text goes that nobody there has seen; of one
// that is too long to be shown, how long it is.
func (s *Server) deleteScripts(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Name  string `json:"name"`
		Text  string `json:"text"`
		Bytes int64  `json:"bytes"`
	}
	if !read(w, r, &q) {
		return
	}
	if !scriptName(q.Name) {
		refuse(w, r, one("delete its file in the folder of the job", "the workbench deletes only scripts with a name such as two-flashes, and %q is none", q.Name))
		return
	}
	root, err := s.beside()
	if err == nil {
		defer root.Close()
		err = deleteScript(root, q.Name+scriptEnd, q.Text, q.Bytes)
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		refuse(w, r, one("look at the list anew", "there is no script %s any more", q.Name))
	case errors.Is(err, errOther):
		refuse(w, r, one("open it again and look at it first", "script %s says something else by now", q.Name))
	case errors.Is(err, errNoFile):
		refuse(w, r, one("delete it in the folder of the job", "%s%s is no file of its own but leads elsewhere", q.Name, scriptEnd))
	case err != nil:
		refuse(w, r, one("check the folder and its permissions", "script %s cannot be deleted", q.Name))
	default:
		answer(w, r, http.StatusOK, struct {
			Name string `json:"name"`
		}{q.Name})
	}
}

var errOther, errNoFile = errors.New("another text"), errors.New("no file")

// deleteScript deletes a script that says what it is expected to, or one that is too long to be shown and as long as it is expected to be.
func deleteScript(root *os.Root, name, text string, bytes int64) error {
	info, err := root.Lstat(name)
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return errNoFile
	}
	if bytes > mostScriptBytes && info.Size() == bytes {
		return root.Remove(name)
	}
	if bytes > 0 || info.Size() != int64(len(text)) {
		return errOther
	}
	there, err := root.ReadFile(name)
	if err != nil {
		return err
	}
	if string(there) != text {
		return errOther
	}
	return root.Remove(name)
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
