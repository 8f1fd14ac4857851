package proof

import (
	"time"

	"lampwright/program"
)

// Shown is a stretch of time in which a module lights otherwise than it should, for a picture: the same outputs in refreshes that follow
// one another. The light is that of the refresh in which they differ most.
type Shown struct {
	Module          string
	From, To        time.Duration // of the first refresh, and of the end of the last
	Refreshes       int           // that differ
	Outputs         []OutputShown // that differ, in their order
	Others          []Difference  // of no one output, such as the number of words
	Promised, Found []float64     // light of every output of the module, 0..1 of full
}

// OutputShown is what one output was to show and what it showed, 0..1 of full.
type OutputShown struct {
	Output          int // from 1
	Promised, Found float64
}

// shownMost bounds the stretches that are kept of a module, and othersMost what is said beside one of them.
const (
	shownMost  = 200
	othersMost = 8
)

// apart is how long a stretch goes on without a difference: a frame, for within one an output may be lit for a part of the planes alone.
const apart = program.FrameMS * time.Millisecond

// recalling is a model that remembers what it promised last.
type recalling struct {
	*EngineModel
	promised []Slot
}

func (r *recalling) Step(s Sample) []Slot {
	r.promised = r.EngineModel.Step(s)
	return r.promised
}

// light gives the light of every output of a module over a refresh.
func (m Module) light(slots []Slot) []float64 {
	widths := &chainWidths
	if m.Kind == Pins {
		widths = &pinsWidths
	}
	full := 0
	for _, w := range widths {
		full += w
	}
	out := make([]float64, m.Outputs())
	for o := range out {
		lit := 0
		for _, s := range slots {
			if s.Word[o/8]>>(o%8)&1 != 0 {
				lit += s.LitCycles
			}
		}
		out[o] = min(float64(lit)/float64(full), 1)
	}
	return out
}

// show adds what one refresh differs in.
func show(all []Shown, m Module, r Refresh, promised []Slot, found []Difference) []Shown {
	one := Shown{Module: m.Name, From: m.At(r.Cycle), To: m.At(r.Cycle + CyclesARefresh), Refreshes: 1,
		Promised: m.light(promised), Found: m.light(r.Slots)}
	for o := range m.Outputs() {
		for _, d := range found {
			if d.Output == o+1 {
				one.Outputs = append(one.Outputs, OutputShown{o + 1, one.Promised[o], one.Found[o]})
				break
			}
		}
	}
	for _, d := range found {
		if d.Output == 0 && len(one.Others) < othersMost {
			one.Others = append(one.Others, d)
		}
	}
	if n := len(all) - 1; n >= 0 && one.From-all[n].To <= apart && one.goesOn(all[n]) {
		was := &all[n]
		was.To, was.Refreshes = one.To, was.Refreshes+1
		if one.size() > was.size() {
			was.Outputs, was.Promised, was.Found = one.Outputs, one.Promised, one.Found
		}
		return all
	}
	if len(all) >= shownMost {
		return all
	}
	return append(all, one)
}

// goesOn tells whether a refresh differs in no other output than a stretch before it.
func (s Shown) goesOn(before Shown) bool {
	if len(s.Outputs) == 0 {
		return len(before.Outputs) == 0
	}
	for _, o := range s.Outputs {
		known := false
		for _, b := range before.Outputs {
			known = known || b.Output == o.Output
		}
		if !known {
			return false
		}
	}
	return true
}

// size is how much light differs in all.
func (s Shown) size() (sum float64) {
	for _, o := range s.Outputs {
		sum += max(o.Promised-o.Found, o.Found-o.Promised)
	}
	return sum
}

// Bounds of a trial of a script.
const (
	TrialTail    = 1 * time.Second  // goes on after the last press
	TrialLongest = 10 * time.Minute // of simulated time; longer scripts take too long
)
