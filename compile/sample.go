package compile

import (
	"fmt"
	"math"
	"slices"

	"lampwright/kit"
	"lampwright/light"
	"lampwright/program"
	"lampwright/units"
)

// pacedTicks is how many ticks an arrive routine at the flasher's pace has, whatever its written length: the engine
// stretches them to the flasher's on-time (docs/engine.md, section 5), so that several may fall in a frame (hurried).
const pacedTicks = 64

// timing says at which instants a routine is sampled and how it ends.
type timing struct {
	ticks int  // 1..65535
	paced bool // the ticks divide the routine's length evenly, the last shows its end; else they are frames
	loops bool // begins again at its last tick, which is not shown
	full  bool // where the light rests at full it is shown in full: road signals are measured there
}

// shown is the number of ticks that are seen.
func (t timing) shown() int {
	if t.loops {
		return t.ticks
	}
	return t.ticks + 1
}

// lengthTicks gives the ticks of a routine of so many ms: whole frames, never less than the routine.
func lengthTicks(lengthMS float64) int {
	const rounding = 1e-6 // frames; a length of whole frames may come out a little above them
	return max(1, int(math.Ceil(lengthMS/program.FrameMS-rounding)))
}

// sampler remembers the light of every group of a stage at the instants of a timing.
type sampler struct {
	memo   map[sampleKey]*sampled
	fit    *fits
	wanted wanted
}

type sampleKey struct {
	bound  *kit.Bound
	timing timing
}

type sampled struct {
	first  map[*kit.Lamp]int // for each lamp, the row of its first group
	shares [][]float64       // for each group, the light at each tick, 0..1; nil while all that was asked for was kept
	tracks []*track          // for each group, once asked for
}

// tracks gives the fitted light of groups of a lamp.
func (s *sampler) tracks(bound *kit.Bound, l *kit.Lamp, groups []int, when timing) ([]*track, error) {
	key := sampleKey{bound, when}
	all := s.memo[key]
	if all == nil {
		all = s.stage(bound, when)
		s.memo[key] = all
	}
	out := make([]*track, len(groups))
	for i, g := range groups {
		row := all.first[l] + g
		if all.tracks[row] == nil {
			if all.shares == nil {
				if err := s.sample(all, bound, when); err != nil {
					return nil, err
				}
			}
			all.tracks[row] = s.fit.track(all.shares[row], when)
		}
		out[i] = all.tracks[row]
	}
	return out, nil
}

// stage makes room for the light of a stage, with what is kept of it from an earlier compilation.
func (s *sampler) stage(bound *kit.Bound, when timing) *sampled {
	out := &sampled{first: map[*kit.Lamp]int{}}
	rows := 0
	for _, l := range bound.Lamps {
		out.first[l] = rows
		rows += len(l.Groups)
	}
	if keep := s.fit.keep; keep != nil {
		out.tracks = keep.light(s.lightKey(bound, when), rows).tracks
	} else {
		out.tracks = make([]*track, rows)
	}
	return out
}

// sample takes the light of every group of a stage.
func (s *sampler) sample(out *sampled, bound *kit.Bound, when timing) error {
	rows := len(out.tracks)
	lights, err := light.NewSampler(bound.Stage, bound.Light, bound.Stage.Groups())
	if err != nil {
		return fmt.Errorf("routine %s: %w", bound.Light.Name, err)
	}
	length := bound.Light.Length()
	shown := when.shown()
	cells, shares := make([]float64, rows*shown), make([][]float64, rows)
	for row := range rows {
		shares[row] = cells[row*shown : (row+1)*shown]
	}
	for k := range shown {
		s.wanted.ask()
		t := float64(k) * program.FrameMS
		if when.paced { // tick 0 shows the first light already: a turn must not begin with a dark frame
			t = float64(length*float64(k+1)) / float64(when.ticks+1)
		}
		for row, share := range lights.At(min(t, length)) {
			shares[row][k] = share
		}
	}
	out.shares = shares
	return nil
}

// levelOf gives the lightness of a share of light, in 1/256 level, rounded to nearest.
func levelOf(share float64) int32 {
	const full = topLevel * unit
	lightness := units.Lightness(min(max(share, 0), 1))
	return int32(float64(lightness*full)/100 + 0.5)
}

// track is the light of one group in one routine: what is wanted, and the fades that play it.
type track struct {
	samples []int32 // 1/256 level, rests moved to levels that may rest
	fades   []fade
	moved   int32 // how far a rest was moved at most, 1/256 level
	moves   bool  // the light is not the same throughout
}

// last is the level at the end.
func (t *track) last() uint8 {
	if len(t.fades) == 0 {
		return 0
	}
	return t.fades[len(t.fades)-1].Level
}

// still is the level of a track that does not move.
func (t *track) still() uint8 { return uint8((t.samples[0] + halfLevel) / unit) }

// fits fits each sequence of levels once: many groups light alike.
type fits struct {
	fitter    fitter
	tolerance int32 // 1/256 level
	memo      map[string]*track
	keep      *Fits // may be nil
	wanted    wanted
}

func (f *fits) track(shares []float64, when timing) *track {
	samples, moved := snapRests(shares, !when.loops)
	key := append(make([]byte, 0, 3*len(samples)+2), flag(when.loops), flag(when.full))
	for _, y := range samples {
		key = append(key, byte(y), byte(y>>8), byte(y>>16))
	}
	t := f.memo[string(key)]
	if t == nil {
		if t = f.keptTrack(string(key)); t == nil {
			f.wanted.ask()
			t = &track{samples: samples, fades: f.fitter.fit(samples, f.tolerance, when.loops, when.full), moves: slices.Min(samples) != slices.Max(samples)}
			f.keepTrack(string(key), t)
		}
		f.memo[string(key)] = t
	}
	if moved != t.moved {
		own := *t
		own.moved = moved
		return &own
	}
	return t
}

func flag(set bool) byte {
	if set {
		return 1
	}
	return 0
}
