package proof

import (
	"slices"

	"lampwright/car"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/script"
	"lampwright/units"
)

// traceStep is the time of which a trace keeps the mean light: a frame.
const traceStep = program.FrameMS * units.Millisecond

// stage is where faults are tried: a kit with what ships in its modules.
type stage struct {
	kit     *kit.Kit
	units   []car.Unit
	wires   feed.Conditions
	columns []column
	first   []int // first column of each module
	runs    int   // scripts played
}

// column is one wired group.
type column struct {
	module, group, output int
}

func newStage(k *kit.Kit, all []car.Unit, wires feed.Conditions) *stage {
	s := &stage{kit: k, units: all, wires: wires}
	for i, m := range k.Modules {
		s.first = append(s.first, len(s.columns))
		for g, o := range m.Output {
			if o >= 0 {
				s.columns = append(s.columns, column{i, g, o})
			}
		}
	}
	return s
}

// run is what a kit did under a script.
type run struct {
	script script.Script
	line   *script.Timeline
	course *car.Course
	light  []uint16 // frame by frame, of every column: mean duty
	frames int
	pulled bool   // a module pulled the link wire
	ran    []bool // modules whose light may differ from the usual run's
}

// at gives the light of a column in a frame.
func (r *run) at(s *stage, frame, column int) uint16 { return r.light[frame*len(s.columns)+column] }

// play runs a script with a fault. usual, which may be nil, is the run of the same script without it: what the fault does not
// reach is taken from there.
func (s *stage) play(presses script.Script, f Fault, usual *run) *run {
	r := &run{script: presses}
	if !f.None() {
		r.script.World = append(slices.Clone(presses.World), f.Condition)
	}
	r.line = r.script.Timeline(s.wires.Seed)
	end := presses.Len() + askTail
	r.frames = int(end / traceStep)
	if f.Condition.What == script.Output && usual != nil {
		course := *usual.course
		course.Outputs = car.Outputs(s.kit, r.line, end)
		r.course = &course
	} else {
		r.course = car.Drive(s.kit, r.line, end, s.wires)
	}
	if usual != nil && same(r.course, usual.course) {
		r.light, r.ran = usual.light, make([]bool, len(s.units))
		if len(r.course.Outputs) > 0 {
			r.light = slices.Clone(r.light)
			s.breakOutputs(r)
		}
		return r
	}
	if usual != nil && !usual.pulled {
		s.fill(r, usual, func(module int) bool { return !slices.Equal(r.course.Modules[module], usual.course.Modules[module]) })
		if !r.pulled && slices.Equal(r.course.Wire, usual.course.Wire) {
			return r // the link wire rests in both: modules that see the same do the same
		}
	}
	s.fill(r, usual, func(int) bool { return true })
	return r
}

// fill runs some of the modules on a course; the light of the others is what it usually is.
func (s *stage) fill(r, usual *run, runs func(module int) bool) {
	s.runs++
	rig := car.NewRig(s.units, r.course)
	var on, every []int // modules that run, and the refreshes from look to look at each
	r.ran = make([]bool, len(s.units))
	r.light = make([]uint16, r.frames*len(s.columns))
	if usual != nil {
		copy(r.light, usual.light)
	}
	for i := range s.units {
		if !runs(i) {
			rig.Leave(i)
			continue
		}
		r.ran[i], on, every = true, append(on, i), append(every, looks)
		if pulsed(r.course.Modules[i]) {
			every[len(every)-1] = 1
		}
	}
	sums := make([]int, len(s.columns))
	for n := range r.frames {
		clear(sums)
		for refresh := range program.RefreshesPerFrame {
			rig.Step()
			for k, i := range on {
				if refresh%every[k] != 0 {
					continue
				}
				duties := rig.Duties(i)
				for c := s.first[i]; c < len(s.columns) && s.columns[c].module == i; c++ {
					sums[c] += int(duties[s.columns[c].output]) * every[k]
				}
			}
		}
		for _, i := range on {
			for c := s.first[i]; c < len(s.columns) && s.columns[c].module == i; c++ {
				r.light[n*len(s.columns)+c] = uint16(sums[c] / program.RefreshesPerFrame)
			}
		}
	}
	r.pulled = rig.Pulled()
}

// looks is how many refreshes lie between two looks at a module's light: within a frame it changes with the stop override alone.
const looks = program.RefreshesPerFrame / 2

// pulsed tells whether the supply of a module's LEDs comes in pulses, so that each refresh may have its own light.
func pulsed(changes []car.Change) bool {
	falls := 0
	for i := 1; i < len(changes); i++ {
		if changes[i].Rail < changes[i-1].Rail {
			falls++
		}
	}
	return falls > 5
}

// same tells whether two courses bring the same to every pin.
func same(a, b *car.Course) bool {
	return slices.Equal(a.Wire, b.Wire) && slices.EqualFunc(a.Modules, b.Modules, func(x, y []car.Change) bool { return slices.Equal(x, y) })
}

// breakOutputs lets the outputs of a course that are broken for all of its time be so. They light from the rail whatever the module does.
func (s *stage) breakOutputs(r *run) {
	for _, o := range r.course.Outputs {
		r.ran[o.Module] = true
		for c, col := range s.columns {
			if col.module != o.Module || col.output != o.Output {
				continue
			}
			for n := range r.frames {
				duty := uint16(0)
				if o.On {
					duty = program.FullDuty
				}
				r.light[n*len(s.columns)+c] = duty
			}
		}
	}
}
