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
	answer(w, r, http.StatusOK, s.view())
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
	if list := s.desk.Load().Do(q.Base, q.Name, q.Args); list.HasErrors() {
		refuse(w, r, list)
		return
	}
	v := s.view()
	if before.Revision == q.Base {
		v.Loose = session.LooseEnds(before.File, s.desk.Load().State().File)
	}
	answer(w, r, http.StatusOK, v)
}

func (s *Server) postText(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Base string `json:"base"`
		Text string `json:"text"`
	}
	if read(w, r, &q) {
		s.changed(w, r, s.desk.Load().SetText(q.Base, q.Text))
	}
}

// step serves a request that carries nothing but the revision it was made for.
func (s *Server) step(do func(d *session.Desk, base string) report.List) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var q struct {
			Base string `json:"base"`
		}
		if read(w, r, &q) {
			s.changed(w, r, do(s.desk.Load(), q.Base))
		}
	}
}

// changed answers a change with the job as it is now, or with why not.
func (s *Server) changed(w http.ResponseWriter, r *http.Request, list report.List) {
	if list.HasErrors() {
		refuse(w, r, list)
		return
	}
	answer(w, r, http.StatusOK, s.view())
}
