package web

import (
	"encoding/json"
	"net/http"

	"lampwright/report"
	"lampwright/session"
)

func (s *Server) getJob(w http.ResponseWriter, r *http.Request) {
	if s.desk.Load() == nil {
		answer(w, r, http.StatusOK, s.begin())
		return
	}
	v := s.view()
	if r.URL.Query().Get("of") == v.Revision { // the window has the document, and asks what was computed of it
		v.Same, v.Text, v.Tree, v.Lamps = true, "", nil, nil
	}
	answer(w, r, http.StatusOK, v)
}

func (s *Server) getSchema(w http.ResponseWriter, r *http.Request) {
	answer(w, r, http.StatusOK, json.RawMessage(session.Schema()))
}

func (s *Server) getCommands(w http.ResponseWriter, r *http.Request) {
	answer(w, r, http.StatusOK, session.Commands())
}

func (s *Server) postDo(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Base string          `json:"base"`
		Name string          `json:"name"`
		Args json.RawMessage `json:"args"`
	}
	if !read(w, r, &q) {
		return
	}
	before := s.desk.Load().State()
	s.change(w, r, func(d *session.Desk) report.List { return d.Do(q.Base, q.Name, q.Args) }, func(v *view) {
		if before.Revision == q.Base {
			v.Loose = session.LooseEnds(before.File, s.desk.Load().State().File)
		}
	})
}

func (s *Server) postText(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Base string `json:"base"`
		Text string `json:"text"`
	}
	if read(w, r, &q) {
		s.change(w, r, func(d *session.Desk) report.List { return d.SetText(q.Base, q.Text) })
	}
}

// step serves a request that carries nothing but the revision it was made for.
func (s *Server) step(do func(d *session.Desk, base string) report.List) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var q struct {
			Base string `json:"base"`
		}
		if read(w, r, &q) {
			s.change(w, r, func(d *session.Desk) report.List { return do(d, q.Base) })
		}
	}
}

// change makes a change while the work in the background waits, and answers with the job as it is now, to which more may be added, or with
// why not.
func (s *Server) change(w http.ResponseWriter, r *http.Request, do func(d *session.Desk) report.List, more ...func(*view)) {
	done := s.results.calm.change()
	defer done()
	if list := do(s.desk.Load()); list.HasErrors() {
		refuse(w, r, list)
		return
	}
	now := s.view()
	for _, add := range more {
		add(now)
	}
	done() // how long the answer takes is the browser's affair
	answer(w, r, http.StatusOK, now)
}
