package web

import (
	"archive/zip"
	"bytes"
	"fmt"
	"net/http"
)

// postMake sends all files of the kit as one ZIP.
func (s *Server) postMake(w http.ResponseWriter, r *http.Request) {
	st := s.desk.Load().State()
	files, faults := s.Make(st)
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range files {
		to, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate}) // no time: same job, same bytes
		if err == nil {
			_, err = to.Write(f.Data)
		}
		if err != nil {
			refuse(w, r, faultsOf(err))
			return
		}
	}
	if err := z.Close(); err != nil {
		refuse(w, r, faultsOf(err))
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", "kit-"+st.Revision+".zip"))
	w.Write(out.Bytes())
}
