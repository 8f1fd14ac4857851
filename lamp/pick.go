package lamp

import (
	"slices"
	"strconv"
	"strings"

	"lampwright/report"
)

// Term names groups: a zone ("arrow"), one group of it ("arrow.3"), or a range
// of its groups ("arrow.2..7").
type Term struct {
	Zone     string
	From, To int // two ends of a range within the zone, counted from 1, both included; 0, 0 means the whole zone
}

func (t Term) whole() bool { return t.From == 0 && t.To == 0 }

// String writes the term as a builder does.
func (t Term) String() string {
	switch {
	case t.whole():
		return t.Zone
	case t.From == t.To:
		return t.Zone + "." + strconv.Itoa(t.From)
	}
	return t.Zone + "." + strconv.Itoa(t.From) + ".." + strconv.Itoa(t.To)
}

// Pick chooses groups of a lamp: those of With (all groups if With is empty),
// less those of Without, and of these only the ones of Colour if it is given.
type Pick struct {
	With, Without []Term
	Colour        string
}

// Pick gives the chosen groups in layout order, each once. It is an error if a
// term names nothing in the lamp or if nothing is left.
func (l *Lamp) Pick(p Pick) ([]int, report.List) {
	var wrong report.List
	chosen := make([]bool, len(l.Groups))
	mark := func(terms []Term, value bool) {
		for _, t := range terms {
			groups, problem := l.groupsOf(t)
			if problem != nil {
				wrong.Add(*problem)
			}
			for _, g := range groups {
				chosen[g] = value
			}
		}
	}
	for g := range chosen {
		chosen[g] = len(p.With) == 0
	}
	mark(p.With, true)
	mark(p.Without, false)
	if len(wrong) > 0 {
		return nil, wrong
	}
	var groups []int
	for g := range chosen {
		if chosen[g] && (p.Colour == "" || l.GroupColour(g) == p.Colour) {
			groups = append(groups, g)
		}
	}
	if len(groups) == 0 {
		wrong.Add(report.Errorf("pick", report.Place{}, "no group of lamp %s is left", l.Name).Do("%s", l.leftover(p)))
	}
	return groups, wrong
}

// leftover says what to change about a pick that leaves nothing.
func (l *Lamp) leftover(p Pick) string {
	if p.Colour == "" {
		return "take away less"
	}
	var colours []string
	for g := range l.Groups {
		if c := l.GroupColour(g); !slices.Contains(colours, c) {
			colours = append(colours, c)
		}
	}
	slices.Sort(colours)
	return "take away less, or choose a colour the lamp has: " + strings.Join(colours, ", ")
}

// groupsOf finds the groups of a term. A group may also be named in full, as
// it stands in Group.Name, when no zone has the term's name.
func (l *Lamp) groupsOf(t Term) ([]int, *report.Diagnostic) {
	zone, ok := l.Zone(t.Zone)
	if !ok {
		if g := l.GroupNamed(t.String()); g >= 0 {
			return []int{g}, nil
		}
		var names []string
		for _, z := range l.Zones {
			names = append(names, z.Name)
		}
		d := report.Errorf("pick", report.Place{}, "lamp %s has no zone %q", l.Name, t.Zone).
			Expect("%s", strings.Join(names, ", ")).DidYouMean(t.Zone, names)
		return nil, &d
	}
	if t.whole() {
		return zone.Groups, nil
	}
	first, last := min(t.From, t.To), max(t.From, t.To)
	if first < 1 || last > len(zone.Groups) {
		d := report.Errorf("pick", report.Place{}, "%s goes beyond zone %s of lamp %s, which has %s", t, t.Zone, l.Name, report.Count(len(zone.Groups), "group")).
			Do("use 1 to %d", len(zone.Groups))
		return nil, &d
	}
	return zone.Groups[first-1 : last], nil
}

// AddZone adds a named zone of groups, which it sorts into layout order.
func (l *Lamp) AddZone(name string, groups []int) {
	sorted := slices.Clone(groups)
	slices.Sort(sorted)
	l.Zones = append(l.Zones, Zone{name, slices.Compact(sorted)})
}
