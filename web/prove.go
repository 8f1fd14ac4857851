package web

import (
	"cmp"
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"time"

	"lampwright/car"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/proof"
	"lampwright/report"
	"lampwright/script"
)

// Prover runs the simulated processor for the page. Where a function is nil this server cannot.
type Prover struct {
	Ready  func(ctx context.Context) error // nil when this machine can; the error says why not, as proof.Prepare does
	Run    func(ctx context.Context, t proof.Trial) ([]proof.Verdict, error)
	Faults func(ctx context.Context, t proof.FaultTrial) (*proof.FaultReport, error)
}

func (p Prover) ready(ctx context.Context) error {
	if p.Ready == nil || p.Run == nil || p.Faults == nil {
		return &proof.NotProven{Reason: "this server was started without a simulated processor", Install: "lampwright open JOB"}
	}
	return p.Ready(ctx)
}

// Proof is what a proof found, a verdict a module.
type Proof struct {
	Proven   bool        `json:"proven"`
	LengthMS int         `json:"lengthMs"` // of simulated time
	Supply   string      `json:"supply"`   // of the car, where the script says no other
	Modules  []ProofLine `json:"modules"`
	Shown    []ProofShow `json:"shown"` // differences of all modules, in the order of time
}

// ProofLine is one module's verdict.
type ProofLine struct {
	Module    string   `json:"module"`
	Lamp      string   `json:"lamp"`
	Proven    bool     `json:"proven"`
	Unpowered bool     `json:"unpowered"` // the script never brings its supply
	Refreshes int      `json:"refreshes"`
	Busy      float64  `json:"busyPercent"`
	Problems  []string `json:"problems"` // what no picture shows
}

// ProofShow is a stretch of time in which a module lights otherwise than promised.
type ProofShow struct {
	Module    string        `json:"module"`
	Lamp      string        `json:"lamp"`
	FromMS    float64       `json:"fromMs"`
	ToMS      float64       `json:"toMs"`
	Refreshes int           `json:"refreshes"` // of half a millisecond, that differ
	Outputs   []ProofOutput `json:"outputs"`
	Others    []string      `json:"others"`   // differences of no one output
	Promised  string        `json:"promised"` // base64: levels of the lamp's groups
	Found     string        `json:"found"`
}

// ProofOutput is an output that differs, with its light in per cent.
type ProofOutput struct {
	Output   int     `json:"output"` // from 1
	Group    int     `json:"group"`  // of the lamp; -1: no group hangs there
	Promised float64 `json:"promised"`
	Found    float64 `json:"found"`
}

// Bounds of what is told of a proof.
const (
	listedMost   = 100_000 // differences of a module after which its run ends
	problemsMost = 12      // lines beside the picture
)

// getProof says whether this machine can prove, and what is pressed where nothing is said.
func (s *Server) getProof(w http.ResponseWriter, r *http.Request) {
	out := struct {
		Here     bool        `json:"here"`
		Problems report.List `json:"problems"`
		Tour     string      `json:"tour"`
	}{Problems: report.List{}}
	if err := s.Prover.ready(r.Context()); err != nil {
		out.Problems = notHere(err)
	} else {
		out.Here = true
	}
	if k := s.desk.Load().State().Kit; k != nil {
		out.Tour = script.Format(car.Tour(k))
	}
	answer(w, r, http.StatusOK, out)
}

// notHere says in the page why there is no proof.
func notHere(err error) report.List {
	var missing *proof.NotProven
	if errors.As(err, &missing) {
		return report.List{report.Errorf("not-here", report.Place{}, "not proven here: %s", missing.Reason).Do("%s", cmp.Or(missing.Install, "prove it on a Linux machine"))}
	}
	return report.List{report.Errorf("proof", report.Place{}, "the simulator stopped: %v", err).Do("run it again; if it stops again, report it with the job")}
}

// provable gives the results of the latest revision, when they can be proven.
func (s *Server) provable() (*made, report.List) {
	m := s.results.wait()
	if m.state.Kit == nil || m.result == nil || len(m.result.Modules) == 0 {
		return nil, one("mend what stops work first", "a broken job, or one without a module, cannot be proven")
	}
	return m, nil
}

// pressed reads the script of a proof; without one it is the tour, and with conditions alone the tour under them.
func pressed(k *kit.Kit, text string) (script.Script, report.List) {
	line, faults := presses(k, text)
	switch {
	case faults.HasErrors():
		return line, faults
	case len(line.Presses) == 0:
		line.Presses = car.Tour(k).Presses
	}
	if len(line.Presses) == 0 {
		return line, one("wire an input first", "the job has no input to press")
	}
	if length(line) > proof.TrialLongest {
		return line, one("cut it into several", "the script lasts %s, and at most %.0f s are proven at once", line.Len(), proof.TrialLongest.Seconds())
	}
	return line, nil
}

func length(line script.Script) time.Duration {
	return time.Duration(line.Len())*time.Microsecond + proof.TrialTail
}

// postProve starts a proof of the latest revision under a script.
func (s *Server) postProve(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Script string `json:"script"`
		Name   string `json:"name"`
	}
	if !read(w, r, &q) {
		return
	}
	m, faults := s.provable()
	var line script.Script
	switch {
	case faults != nil:
	case s.Prover.Run == nil:
		faults = notHere(s.Prover.ready(r.Context()))
	default:
		line, faults = pressed(m.state.Kit, q.Script)
	}
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	one := task{What: "proof", Revision: m.state.Revision, Name: q.Name, Script: script.Format(line)}
	started, faults := s.tasks.start(one, func(ctx context.Context, one *task) error {
		if err := s.Prover.ready(ctx); err != nil {
			return notHere(err)
		}
		advance := s.tasks.advance(one)
		verdicts, err := s.Prover.Run(ctx, proof.Trial{
			Kit: m.state.Kit, Compiled: m.result, Line: line.Timeline(0), Wires: feed.Conditions{Supply: usualSupply}, Length: length(line), Listed: listedMost,
			Running: func(at proof.Running) {
				share := (float64(at.Run) + float64(at.Done)/float64(at.Length)) / float64(at.Runs)
				advance(progress{Share: share, MS: int(at.Done.Milliseconds()), LengthMS: int(at.Length.Milliseconds()), Run: at.Run, Runs: at.Runs, Modules: at.Modules})
			},
		})
		if err != nil {
			return notHere(err)
		}
		found := proofOf(m.state.Kit, verdicts, length(line))
		s.tasks.change(one, func(one *task) { one.proof, one.Good = found, found.Proven })
		return nil
	})
	if faults != nil {
		refuse(w, r, faults)
		return
	}
	answer(w, r, http.StatusOK, started)
}

// proofOf gives verdicts for the screen.
func proofOf(k *kit.Kit, verdicts []proof.Verdict, length time.Duration) *Proof {
	out := &Proof{Proven: len(verdicts) == len(k.Modules), LengthMS: int(length.Milliseconds()), Supply: usualSupply.String(), Modules: []ProofLine{}, Shown: []ProofShow{}}
	for _, m := range k.Modules { // in the order of the job
		n := slices.IndexFunc(verdicts, func(v proof.Verdict) bool { return v.Module == m.Name })
		if n < 0 {
			continue
		}
		v := verdicts[n]
		out.Proven = out.Proven && v.Proven()
		out.Modules = append(out.Modules, ProofLine{Module: m.Name, Lamp: m.Lamp.Name, Proven: v.Proven(), Unpowered: v.Unpowered, Refreshes: v.Refreshes,
			Busy: math.Round(1000*v.Load.Busy()) / 10, Problems: besides(v)})
		for _, s := range v.Shown {
			out.Shown = append(out.Shown, showOf(m, s))
		}
	}
	slices.SortStableFunc(out.Shown, func(a, b ProofShow) int { return cmp.Compare(a.FromMS, b.FromMS) })
	return out
}

// besides gives what is wrong with a module beside the light of its outputs, a line each.
func besides(v proof.Verdict) []string {
	out := []string{}
	for _, s := range v.Shown {
		v.Differences = slices.DeleteFunc(slices.Clone(v.Differences), func(d proof.Difference) bool {
			return d.Output > 0 || d.At >= s.From && d.At < s.To
		})
	}
	all := v.Problems()
	if len(all) <= problemsMost {
		return append(out, all...)
	}
	return append(append(out, all[:problemsMost]...), fmt.Sprintf("and %d more", len(all)-problemsMost))
}

func showOf(m *kit.Module, s proof.Shown) ProofShow {
	out := ProofShow{Module: m.Name, Lamp: m.Lamp.Name, FromMS: ms(s.From), ToMS: ms(s.To), Refreshes: s.Refreshes, Outputs: []ProofOutput{}, Others: []string{}}
	for _, o := range s.Outputs {
		out.Outputs = append(out.Outputs, ProofOutput{o.Output, slices.Index(m.Output, o.Output-1), percentOf(o.Promised), percentOf(o.Found)})
	}
	for _, d := range s.Others {
		out.Others = append(out.Others, fmt.Sprintf("expected %s, found %s", d.Expected, d.Seen))
	}
	promised, found := make([]byte, len(m.Output)), make([]byte, len(m.Output))
	for g, o := range m.Output {
		if o >= 0 && o < len(s.Promised) {
			promised[g], found[g] = level(s.Promised[o]), level(s.Found[o])
		}
	}
	out.Promised, out.Found = base64.StdEncoding.EncodeToString(promised), base64.StdEncoding.EncodeToString(found)
	return out
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// percentOf gives a share in per cent, to a tenth.
func percentOf(share float64) float64 { return math.Round(1000*share) / 10 }
