package web

import (
	"net/http"

	"lampwright/report"
	"lampwright/session"
)

// askView is something that could be asked for and nothing answers yet.
type askView struct {
	Input    string      `json:"input"`
	Show     bool        `json:"show"`
	Also     string      `json:"also"`     // what comes with it, or ""
	Problems report.List `json:"problems"` // why it is refused; none: it would be done
}

// getAsks lists what the command ask could be used for, tried on the latest revision.
func (s *Server) getAsks(w http.ResponseWriter, r *http.Request) {
	out := []askView{}
	for _, a := range session.Asks(s.desk.Load().State()) {
		out = append(out, askView{a.Input, a.Show, a.Also, append(report.List{}, a.Why...)})
	}
	answer(w, r, http.StatusOK, out)
}
