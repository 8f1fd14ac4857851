package web

import (
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"
	"sync"

	"lampwright/report"
	"lampwright/session"
)

// answer sends a value as JSON, packed when it is large and the browser can unpack it.
func answer(w http.ResponseWriter, r *http.Request, status int, value any) {
	text, err := json.Marshal(value)
	if err != nil { // only a value that no code here makes
		http.Error(w, "the answer cannot be written", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	var out io.Writer = w
	if len(text) > 1400 && strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		w.Header().Set("Content-Encoding", "gzip")
		zip := zips.Get().(*gzip.Writer)
		zip.Reset(w)
		defer func() {
			zip.Close()
			zips.Put(zip)
		}()
		out = zip
	}
	w.WriteHeader(status)
	out.Write(text)
}

// zips are writers to be used again: a new one clears a megabyte.
var zips = sync.Pool{New: func() any {
	zip, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed)
	return zip
}}

// refuse sends why something was not done.
func refuse(w http.ResponseWriter, r *http.Request, list report.List) {
	status := http.StatusUnprocessableEntity
	for _, d := range list {
		if d.ID == session.Stale {
			status = http.StatusConflict
		}
	}
	answer(w, r, status, struct {
		Problems report.List `json:"problems"`
	}{list})
}

// one makes a list of one refusal.
func one(next, format string, args ...any) report.List {
	return report.List{report.Errorf("request", report.Place{}, format, args...).Do("%s", next)}
}

// read takes a request's JSON; it answers and gives false when that cannot be read.
func read(w http.ResponseWriter, r *http.Request, into any) bool {
	dec := json.NewDecoder(r.Body)
	dec.DisallowUnknownFields()
	err := dec.Decode(into)
	var large *http.MaxBytesError
	switch {
	case err == nil:
		return true
	case errors.As(err, &large):
		refuse(w, r, one("a job has at most 4 MiB of text", "that is more than the workbench takes"))
	default:
		refuse(w, r, one("load the page again", "the request cannot be read"))
	}
	return false
}
