package web

import (
	"net/http"
	"sort"

	"lampwright/compile"
	"lampwright/program"
)

// memoryView is how full a module is, and with what.
type memoryView struct {
	Module   string     `json:"module"`
	Bytes    int        `json:"bytes"`
	Most     int        `json:"most"`
	Fades    int        `json:"fades"`
	MostFade int        `json:"mostFades"`
	Parts    []fillView `json:"parts"` // the longest first
}

// fillView is one routine of a layer in a memory.
type fillView struct {
	Routine string `json:"routine"`
	Layer   string `json:"layer"`
	Part    string `json:"part"`
	Bytes   int    `json:"bytes"`
}

// getMemory tells what fills each module's memory.
func (s *Server) getMemory(w http.ResponseWriter, r *http.Request) {
	out := []memoryView{}
	if m := s.results.wait(); m.result != nil {
		for _, c := range m.result.Modules {
			out = append(out, memoryOf(c))
		}
	}
	answer(w, r, http.StatusOK, out)
}

func memoryOf(c *compile.Module) memoryView {
	v := memoryView{Module: c.Of.Name, Bytes: len(c.Image), Most: program.MaxImageBytes, Fades: c.Fades, MostFade: c.MostFades(), Parts: []fillView{}}
	for _, l := range c.Layers {
		if l.Outage != nil {
			continue
		}
		for _, p := range l.Routines {
			if p.Of != nil {
				v.Parts = append(v.Parts, fillView{p.Of.Name, l.Of.Name, p.Part, len(p.Code.Code)})
			}
		}
	}
	sort.SliceStable(v.Parts, func(i, k int) bool { return v.Parts[i].Bytes > v.Parts[k].Bytes })
	return v
}
