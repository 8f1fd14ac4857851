package web

import (
	"net/http"

	"lampwright/board"
	"lampwright/parts"
)

// partView is an LED part of the catalogue, and boardView a kind of board, for lists to choose from.
type partView struct {
	Name   string `json:"name"`
	Colour string `json:"colour"`
	About  string `json:"about"`
}

type boardView struct {
	Name    string `json:"name"`
	About   string `json:"about"`
	Outputs int    `json:"outputs"`
	Inputs  int    `json:"inputs"`
}

// getParts lists what there is to build with. The job's own names for parts are in its document.
func (s *Server) getParts(w http.ResponseWriter, r *http.Request) {
	var list struct {
		Parts  []partView  `json:"parts"`
		Boards []boardView `json:"boards"`
	}
	for _, p := range parts.All() {
		list.Parts = append(list.Parts, partView{p.Name, p.Colour, p.About})
	}
	for _, b := range board.All() {
		list.Boards = append(list.Boards, boardView{b.Name, b.About, b.Outputs, len(b.Inputs)})
	}
	answer(w, r, http.StatusOK, list)
}
