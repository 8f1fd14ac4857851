// Package rules gives findings about a kit: what a rule of the road or of the trade says against it, with the figure, the clause, the
// place and the remedy. It reads concrete results only. Confidence is honest: a clause that was read second-hand, or a limit from memory, says so in its
// source and never gives more than the doubt allows.
//
// Not promised: that a kit without findings is legal. The law of the place, type approval and licensed practice decide.
package rules

import (
	"lampwright/kit"
	"lampwright/light"
	"lampwright/report"
)

// Check gives all findings about a kit, sorted by place.
func Check(k *kit.Kit) report.List {
	var list report.List
	list.Add(stopSteady(k)...)
	list.Add(served(k)...)
	list.Add(stopAnswers(k)...)
	list.Add(wires(k)...)
	list.Add(carried(k)...)
	list.Add(unbarred(k)...)
	list.Add(fed(k)...)
	list.Add(guard(k)...)
	list.Add(outages(k)...)
	list.Sort()
	return list
}

// groupsFor gives the groups of a lamp that perform a function as required (or as extra, when required is false).
func groupsFor(l *kit.Lamp, function string, required bool) []int {
	for _, f := range l.Functions {
		if f.Name == function && f.Required == required {
			return f.Groups
		}
	}
	return nil
}

// overlap tells whether two ascending lists of groups share one.
func overlap(a, b []int) bool {
	for i, j := 0, 0; i < len(a) && j < len(b); {
		switch {
		case a[i] == b[j]:
			return true
		case a[i] < b[j]:
			i++
		default:
			j++
		}
	}
	return false
}

// frames shows the light (0 to 1, linear) of the groups of a take in each frame of a routine, until see has seen enough.
func frames(b *kit.Bound, t kit.Take, see func(atMS float64, lights []float64) (more bool)) {
	groups := make([][]int, len(t.Groups))
	for i, g := range t.Groups {
		groups[i] = b.GroupLEDs(t.Lamp, []int{g})
	}
	sampler, err := light.NewSampler(b.Stage, b.Light, groups)
	if err != nil {
		return // the routine was checked when the kit was built
	}
	for k := 0; float64(k)*light.FrameMS <= sampler.LengthMS(); k++ {
		if !see(float64(k)*light.FrameMS, sampler.Frame(k)) {
			return
		}
	}
}
