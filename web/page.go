package web

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"net/http"
	"path"
	"strings"
)

// page serves the front end, packed once for browsers that can unpack it; letters are packed already.
type page struct {
	plain  http.Handler
	packed map[string][]byte // by path
}

func newPage(files fs.FS) *page {
	p := &page{plain: http.FileServerFS(files), packed: map[string][]byte{}}
	fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		switch path.Ext(name) {
		case ".html", ".js", ".css", ".svg":
		default:
			return nil
		}
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		var out bytes.Buffer
		zip, _ := gzip.NewWriterLevel(&out, gzip.BestCompression) // the level is right
		zip.Write(text)
		zip.Close()
		p.packed["/"+name] = out.Bytes()
		return nil
	})
	if index, there := p.packed["/index.html"]; there {
		p.packed["/"] = index
	}
	return p
}

func (p *page) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	packed, there := p.packed[r.URL.Path]
	if !there || !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		p.plain.ServeHTTP(w, r)
		return
	}
	kind := "text/html; charset=utf-8"
	switch path.Ext(r.URL.Path) { // said here, for machines' own lists differ
	case ".js":
		kind = "text/javascript; charset=utf-8"
	case ".css":
		kind = "text/css; charset=utf-8"
	case ".svg":
		kind = "image/svg+xml"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Encoding", "gzip")
	w.Write(packed)
}
