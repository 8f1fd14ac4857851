package web

import (
	"lampwright/kit"
	"lampwright/program"
)

// timing is how a signal or show runs, as its modules keep it: with what is usual where the job says nothing. A time of 0 does not occur.
type timing struct {
	ArriveMS float64 `json:"arriveMs"` // at its own pace
	StayMS   float64 `json:"stayMs"`   // one round
	Loops    bool    `json:"loops"`    // stay goes round and round
	Still    bool    `json:"still"`    // nothing moves: one light from the first moment to the last
	LeaveMS  float64 `json:"leaveMs"`
	WindowMS float64 `json:"windowMs"` // after the release, in which a return skips arrive
	KeepMS   float64 `json:"keepMs"`   // after its end, in which its groups stay dark
	LimitMS  float64 `json:"limitMs"`
	Fast     bool    `json:"fast"` // held on by the stop override, within one refresh and without the frame
}

// timings enters how long everything takes, from the first module that serves each layer.
func (v *view) timings(m *made) {
	for i := range v.Layers {
		for _, c := range m.result.Modules {
			for n, l := range c.Layers {
				if v.Layers[i].Timing == nil && l.Outage == nil && l.Of.Name == v.Layers[i].Name {
					v.Layers[i].Timing = timingOf(m.state.Kit, l.Of, &c.Program.Layers[n])
				}
			}
		}
	}
}

func timingOf(k *kit.Kit, of *kit.Layer, l *program.Layer) *timing {
	length := func(r *kit.Routine) float64 {
		if r == nil {
			return 0
		}
		return seenRoutine(k, r).MS
	}
	return &timing{
		ArriveMS: length(of.Arrive), StayMS: length(of.Stay), LeaveMS: length(of.Leave), Loops: l.Stay != nil && l.Stay.Loops,
		Still: l.Still != nil, Fast: l.Fast, WindowMS: float64(l.Window) * program.FrameMS, KeepMS: float64(l.Keep) * program.FrameMS,
		LimitMS: float64(l.Limit) * program.LimitUnitFrames * program.FrameMS,
	}
}
