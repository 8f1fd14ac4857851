package web

import (
	"slices"

	"lampwright/car"
	"lampwright/kit"
	"lampwright/program"
)

// Who holds a group, one byte a group in films and on the bench: 0 is nobody, 1 the first of the job's signals and shows, and so on.
const (
	ownerNobody = 0
	ownerMost   = 250 // a job with more signals and shows has the rest as nobody's
	ownerPlain  = 255 // lit by the safe program, which knows no layers
)

// holders tells, of a compiled job, which module and output each group hangs on, and which of the job's layers each layer of a module is.
type holders struct {
	groups []holding // of all lamps, as levels have them
	layers [][]byte  // by module and its own layer: what stands for it among owners
	fast   [][]int   // by module: layers that the stop override holds on
}

// holding is where a group hangs; module is −1 when it hangs nowhere.
type holding struct{ module, output int }

func holdersOf(m *made) *holders {
	h := &holders{}
	k := m.state.Kit
	for _, l := range k.Lamps {
		for g := range l.Groups {
			at := holding{-1, -1}
			for i, of := range k.Modules {
				if of.Lamp == l && of.Output[g] >= 0 {
					at = holding{i, of.Output[g]}
				}
			}
			h.groups = append(h.groups, at)
		}
	}
	for _, of := range k.Modules {
		var codes []byte
		var fast []int
		if c := m.result.Module(of); c != nil {
			for i, l := range c.Layers {
				codes = append(codes, codeOf(k, l.Of))
				if c.Program.Layers[i].Fast {
					fast = append(fast, i)
				}
			}
		}
		h.layers, h.fast = append(h.layers, codes), append(h.fast, fast)
	}
	return h
}

// codeOf gives what stands for a layer among owners; nobody for the load of a lamp check, which is no light.
func codeOf(k *kit.Kit, l *kit.Layer) byte {
	if i := slices.Index(k.Layers, l); i >= 0 && i < ownerMost {
		return byte(i + 1)
	}
	return ownerNobody
}

// names gives the job's signals and shows in the order in which owners count them.
func layerNames(k *kit.Kit) []string {
	names := []string{}
	for _, l := range k.Layers {
		names = append(names, l.Name)
	}
	return names
}

// append adds who holds each group now.
func (h *holders) append(to []byte, rig *car.Rig) []byte {
	held := make([][program.MaxOutputs]byte, len(h.layers))
	for i := range held {
		held[i] = h.module(rig, i)
	}
	for _, g := range h.groups {
		if g.module < 0 {
			to = append(to, ownerNobody)
			continue
		}
		to = append(to, held[g.module][g.output])
	}
	return to
}

// module gives who holds each output of a module now.
func (h *holders) module(rig *car.Rig, module int) (by [program.MaxOutputs]byte) {
	e := rig.Engine(module)
	if e == nil || rig.State(module) == car.Asleep {
		return by
	}
	shown := e.Shown()
	forced := func(o int) bool { return shown.Force[o/8]>>(o%8)&1 != 0 }
	if !shown.Live {
		for o := range by {
			if shown.Levels[o] > 0 || forced(o) {
				by[o] = ownerPlain
			}
		}
		return by
	}
	for o, owner := range e.Owner() {
		switch {
		case owner.Layer >= 0 && owner.Layer < len(h.layers[module]):
			by[o] = h.layers[module][owner.Layer]
		case forced(o) && len(h.fast[module]) > 0: // before its layer is live
			by[o] = h.layers[module][h.fast[module][0]]
		}
	}
	return by
}
