package compile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"lampwright/program"
	"lampwright/report"
)

// Sizes in an image, bytes; docs/image-format.md, section 3.
const (
	headerBytes = 20
	entryBytes  = 30
	checkBytes  = 2
)

// counts refuses a module whose program is more than its memory holds.
func (c *compiler) counts(out *Module) {
	m := out.Of
	source := "memory of the module's processor"
	if n := len(out.Program.Layers); n > program.MaxLayers {
		c.list.Add(report.Errorf("limit", m.At, "module %q has too many signals and shows", m.Name).
			Against(fmt.Sprint(n), fmt.Sprint(program.MaxLayers), source).
			Do("let fewer of them take groups of lamp %s, or join two that hang on one input", m.Lamp.Name))
	}
	if out.Moving > program.MaxMoving {
		c.list.Add(report.Errorf("limit", m.At, "too many signals and shows of module %q move", m.Name).
			Against(fmt.Sprintf("%d: %s", out.Moving, strings.Join(out.movingNames(), ", ")), fmt.Sprint(program.MaxMoving), source).
			Do("let some hold their light without arrive and leave routines, or take no groups of lamp %s", m.Lamp.Name))
	}
	if out.Fades > program.MaxFades {
		c.list.Add(report.Errorf("limit", m.At, "the moving signals and shows of module %q need too many fades", m.Name).
			Because("each needs one for every group that it takes: %s", strings.Join(out.fadeCounts(), ", ")).
			Against(fmt.Sprint(out.Fades), fmt.Sprint(program.MaxFades), source).
			Do("let shows take fewer groups, make groups larger, or let signals hold still"))
	}
	if size := imageBytes(out.Program); size > program.MaxImageBytes {
		c.list.Add(report.Errorf("limit", m.At, "the program of module %q is too large", m.Name).
			Because("the longest routines are %s", strings.Join(out.longestRoutines(), ", ")).
			Against(fmt.Sprintf("%d bytes", size), fmt.Sprintf("%d bytes", program.MaxImageBytes), source).
			Do("shorten these routines, scatter fewer groups, or let a pattern repeat exactly: a repeat costs almost nothing"))
	}
}

func (m *Module) movingNames() (names []string) {
	for i, l := range m.Layers {
		if m.Program.Layers[i].Still == nil {
			names = append(names, l.Of.Name)
		}
	}
	return names
}

func (m *Module) fadeCounts() (counts []string) {
	for i, l := range m.Layers {
		if layer := &m.Program.Layers[i]; layer.Still == nil {
			counts = append(counts, fmt.Sprintf("%s %d", l.Of.Name, len(layer.Slots)))
		}
	}
	return counts
}

// longestRoutines names the largest routines of a module with their bytes, the largest first.
func (m *Module) longestRoutines() []string {
	type sized struct {
		name  string
		bytes int
	}
	var all []sized
	for _, l := range m.Layers {
		for _, r := range l.Routines {
			if r.Of != nil {
				all = append(all, sized{r.Of.Name, len(r.Code.Code)})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b sized) int { return cmp.Compare(b.bytes, a.bytes) })
	var out []string
	for _, s := range all[:min(len(all), 5)] {
		out = append(out, fmt.Sprintf("%s with %d bytes", s.name, s.bytes))
	}
	return out
}

// imageBytes is the size of a program's image: equal slot maps, tables and routines are stored once.
func imageBytes(p *program.Program) int {
	stored := map[string]bool{}
	size := headerBytes + entryBytes*len(p.Layers) + checkBytes
	store := func(kind string, data []byte) {
		if key := kind + string(data); !stored[key] {
			stored[key] = true
			size += len(data)
		}
	}
	for i := range p.Layers {
		l := &p.Layers[i]
		store("slots", l.Slots)
		store("still", l.Still)
		for _, r := range []*program.Routine{l.Arrive, l.Stay, l.Leave} {
			if r != nil {
				store("code", r.Code)
			}
		}
	}
	return size
}
