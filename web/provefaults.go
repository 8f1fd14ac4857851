package web

import (
	"context"
	"net/http"
	"slices"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/proof"
	"lampwright/source"
)

// Faults is how a job stands single faults.
type Faults struct {
	Held    bool        `json:"held"` // no rule is broken
	Quick   bool        `json:"quick"`
	Scripts int         `json:"scripts"` // under which each was tried
	Runs    int         `json:"runs"`    // of the simulated processor
	All     []FaultLine `json:"all"`     // the first is the car without a fault
	Assumed []string    `json:"assumed"`
}

// FaultLine is one fault and what came of it.
type FaultLine struct {
	Fault    string      `json:"fault"` // as a script says it; "" without a fault
	Kind     string      `json:"kind"`  // battery, feed, tap ...
	What     string      `json:"what"`
	Stand    proof.Stand `json:"stand"`
	Place    place       `json:"place"`
	Lost     []FaultLoss `json:"lost"`
	Mend     string      `json:"mend"`
	OnHEX    bool        `json:"onHex"`
	Problems []string    `json:"problems"` // what the HEX did otherwise than the engine
}

// FaultLoss is what a fault takes, and the script that shows it.
type FaultLoss struct {
	Says     string   `json:"says"`
	Function string   `json:"function"`
	Lamps    []string `json:"lamps"`
	Breach   bool     `json:"breach"` // a rule is broken
	Script   string   `json:"script"`
	Mend     string   `json:"mend"`
}

// postFaults tries every single fault of the latest revision.
func (s *Server) postFaults(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Quick bool `json:"quick"`
	}
	if !read(w, r, &q) {
		return
	}
	m, faults := s.provable()
	if faults == nil && !slices.ContainsFunc(m.state.Kit.Inputs, func(in *kit.Input) bool { return in.Road != "" }) {
		faults = one("wire an input stop, tail, turn-lh, turn-rh, reverse, drl or fog; shows alone are not tried", "the job has no road signal: there is nothing that a fault could take")
	}
	if faults == nil && s.Prover.Faults == nil {
		faults = notHere(s.Prover.ready(r.Context()))
	}
	if faults != nil {
		refuse(w, r, faults)
		return
	}
	one := task{What: "faults", Revision: m.state.Revision, Quick: q.Quick}
	started, faults := s.tasks.start(one, func(ctx context.Context, one *task) error {
		if !q.Quick { // told before the search, not after it
			if err := s.Prover.ready(ctx); err != nil {
				return notHere(err)
			}
		}
		advance := s.tasks.advance(one)
		found, err := s.Prover.Faults(ctx, proof.FaultTrial{
			Kit: m.state.Kit, Compiled: m.result, Wires: feed.Conditions{Supply: usualSupply}, HEX: !q.Quick,
			Progress: func(p proof.FaultProgress) {
				at := progress{Tried: p.Tried, Faults: p.Faults, Run: p.Run, Runs: p.Runs, Share: share(p.Tried, p.Faults)}
				if !q.Quick {
					at.Share = searchShare*at.Share + (1-searchShare)*share(p.Run, p.Runs)
				}
				advance(at)
			},
		})
		if err != nil {
			return notHere(err)
		}
		table := faultsFound(m, found, q.Quick)
		s.tasks.change(one, func(one *task) { one.faults, one.Good = table, table.Held })
		return nil
	})
	if faults != nil {
		refuse(w, r, faults)
		return
	}
	answer(w, r, http.StatusOK, started)
}

// searchShare is about how much of the time the search on the engine takes, where the simulated processor runs as well.
const searchShare = 0.4

func share(done, of int) float64 {
	if of == 0 {
		return 0
	}
	return float64(done) / float64(of)
}

// faultsFound gives a report for the screen.
func faultsFound(m *made, r *proof.FaultReport, quick bool) *Faults {
	out := &Faults{Held: r.Held(), Quick: quick, Scripts: r.Scripts, Runs: r.Runs, All: []FaultLine{}, Assumed: append([]string{}, r.Assumed...)}
	for _, s := range r.Standings {
		line := FaultLine{Kind: string(s.Condition.What), What: s.What, Stand: s.Verdict(), Place: place{s.At, pathOf(m, s)}, Lost: []FaultLoss{}, Mend: s.Mend, OnHEX: s.OnHEX,
			Problems: append([]string{}, s.Problems...)}
		if !s.None() {
			line.Fault = s.Condition.String()
		}
		for _, b := range s.Breaches {
			line.Lost = append(line.Lost, FaultLoss{Says: b.What, Function: b.Function, Lamps: b.Lamps, Breach: true, Script: b.Script, Mend: b.Mend})
		}
		for _, l := range s.Losses {
			line.Lost = append(line.Lost, FaultLoss{Says: l.String(), Function: l.Function, Lamps: []string{l.Lamp}, Script: l.Script})
		}
		out.All = append(out.All, line)
	}
	return out
}

// pathOf gives where in the document a fault is, when that is known.
func pathOf(m *made, s proof.Standing) source.Path {
	if m.state.File == nil || s.At.Line == 0 {
		return nil
	}
	return m.state.File.PathAt(s.At)
}
