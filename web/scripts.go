package web

import (
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"lampwright/report"
)

// scriptEnd is how the files of scripts beside a job end.
const scriptEnd = ".script"

// Bounds of the scripts that are listed.
const (
	mostScripts     = 100
	mostScriptBytes = 64 << 10
)

// scriptFile is a script that was kept beside the job.
type scriptFile struct {
	Name     string      `json:"name"` // without its ending
	Text     string      `json:"text"`
	Bytes    int64       `json:"bytes,omitempty"` // of one that is too long to be shown; 0: it is not
	Problems report.List `json:"problems"`        // why it cannot be pressed in this job
}

// getScripts lists the scripts NAME.script beside the job, by name.
func (s *Server) getScripts(w http.ResponseWriter, r *http.Request) {
	st := s.desk.Load().State()
	out := []scriptFile{}
	folder := filepath.Dir(st.Path)
	files, _ := os.ReadDir(folder) // a folder that cannot be read has no scripts to offer
	for _, f := range files {
		name, is := strings.CutSuffix(f.Name(), scriptEnd)
		if !is || len(out) >= mostScripts {
			continue
		}
		info, err := os.Stat(filepath.Join(folder, f.Name()))
		if err == nil && !info.Mode().IsRegular() {
			continue // a folder, or a pipe, which would be waited for
		}
		one := scriptFile{Name: name, Problems: report.List{}}
		if err == nil && info.Size() > mostScriptBytes {
			one.Bytes = info.Size()
		}
		var faults report.List
		one.Text, faults = readScript(filepath.Join(folder, f.Name()))
		if faults == nil && st.Kit != nil {
			_, faults = presses(st.Kit, one.Text)
		}
		one.Problems = append(one.Problems, faults...)
		out = append(out, one)
	}
	slices.SortFunc(out, func(a, b scriptFile) int { return strings.Compare(a.Name, b.Name) })
	answer(w, r, http.StatusOK, out)
}

func readScript(path string) (string, report.List) {
	f, err := os.Open(path)
	if err != nil {
		return "", one("check its permissions", "%s cannot be read", filepath.Base(path))
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, mostScriptBytes+1))
	if err != nil {
		return "", one("check its permissions", "%s cannot be read", filepath.Base(path))
	}
	if len(text) > mostScriptBytes {
		return "", one("shorten it in a text editor", "%s has more than 64 KiB, which no script needs", filepath.Base(path))
	}
	return string(text), nil
}
