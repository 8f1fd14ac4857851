package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"

	"lampwright/photo"
	"lampwright/source"
)

// photoName is what the workbench calls the photos that it keeps beside a job file.
var photoName = regexp.MustCompile(`^photo-[a-z0-9-]{1,80}\.(jpeg|png)$`)

// photoView is a photo as a window needs to know it.
type photoView struct {
	Name   string `json:"name"`
	Width  int    `json:"width"`
	Height int    `json:"height"`
}

// beside opens the job's own folder, so that no name leads out of it.
func (s *Server) beside() (*os.Root, error) {
	return os.OpenRoot(filepath.Dir(s.desk.Load().State().Path))
}

// postPhoto keeps an image that a window sends, under a name made of the lamp's and of what it holds. The same image twice is one file.
func (s *Server) postPhoto(w http.ResponseWriter, r *http.Request) {
	lamp := r.URL.Query().Get("lamp")
	if source.NameProblem(lamp) != "" || len(lamp) > 60 {
		refuse(w, r, one("choose a lamp first", "a photo belongs to a lamp"))
		return
	}
	data, err := io.ReadAll(r.Body)
	if err != nil {
		refuse(w, r, one("use a picture of at most 32 MiB", "the photo did not come whole, or is too large"))
		return
	}
	p, err := photo.Read("photo", data)
	if err != nil {
		refuse(w, r, faultsOf(err))
		return
	}
	sum := sha256.Sum256(data)
	name := "photo-" + lamp + "-" + hex.EncodeToString(sum[:4]) + "." + p.Kind
	if err := s.keepPhoto(name, data); err != nil {
		refuse(w, r, one("check the folder, its permissions and the free space", "the photo cannot be kept beside the job file"))
		return
	}
	width, height := p.Size()
	answer(w, r, http.StatusOK, photoView{name, width, height})
}

// keepPhoto writes a photo beside the job file, whole or not at all.
func (s *Server) keepPhoto(name string, data []byte) error {
	root, err := s.beside()
	if err != nil {
		return err
	}
	defer root.Close()
	return keepBeside(root, name, data)
}

// keepBeside writes a file beside the job, whole or not at all.
func keepBeside(root *os.Root, name string, data []byte) error {
	part := "." + name + ".part"
	f, err := root.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
		err = root.Rename(part, name)
	}
	if err != nil {
		root.Remove(part)
	}
	return err
}

// photo reads a photo of the job: one that the workbench keeps, or one that a lamp names.
func (s *Server) photo(name string) ([]byte, *photo.Photo, error) {
	named := photoName.MatchString(name)
	if k := s.desk.Load().State().Seen; k != nil && !named {
		for _, l := range k.Lamps {
			named = named || l.Photo != nil && l.Photo.File == name
		}
	}
	if !named {
		return nil, nil, fs.ErrNotExist
	}
	root, err := s.beside()
	if err != nil {
		return nil, nil, err
	}
	defer root.Close()
	info, err := root.Stat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() > photo.MaxBytes {
		return nil, nil, fs.ErrNotExist
	}
	data, err := root.ReadFile(name)
	if err != nil {
		return nil, nil, err
	}
	p, err := photo.Read(name, data)
	return data, p, err
}

func (s *Server) getPhoto(w http.ResponseWriter, r *http.Request) {
	data, p, err := s.photo(r.PathValue("name"))
	if err != nil {
		http.Error(w, "there is no such photo", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", "image/"+p.Kind)
	w.Write(data)
}

// postSpots finds the bright spots of a photo of the lit lamp.
func (s *Server) postSpots(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Photo   string  `json:"photo"`
		AtLeast float64 `json:"atLeast"` // share of the brightest
	}
	if !read(w, r, &q) {
		return
	}
	_, p, err := s.photo(q.Photo)
	if err != nil {
		refuse(w, r, one("import it again", "the photo %q is not there, or is no picture any more", q.Photo))
		return
	}
	spots := p.Spots(q.AtLeast)
	if spots == nil {
		spots = []photo.Spot{}
	}
	answer(w, r, http.StatusOK, spots)
}
