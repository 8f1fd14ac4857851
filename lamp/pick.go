package lamp

import (
	"slices"
	"strconv"
	"strings"

	"lampwright/report"
)

// Term names groups: a zone ("arrow"), one group ("arrow.3"), or a range of a
// zone's groups ("arrow.2..7").
type Term struct {
	Zone     string
	From, To int // first and last group within the zone, counted from 1, both included; 0, 0 means the whole zone
}

// ParseTerm reads "arrow", "arrow.3" or "arrow.2..7".
func ParseTerm(text string) (Term, error) {
	zone, numbers, ranged := strings.Cut(text, ".")
	if zone == "" || strings.ContainsAny(zone, " \t") {
		return Term{}, badTerm(text)
	}
	if !ranged {
		return Term{Zone: zone}, nil
	}
	from, to, two := strings.Cut(numbers, "..")
	if !two {
		to = from
	}
	first, err1 := strconv.Atoi(from)
	last, err2 := strconv.Atoi(to)
	if err1 != nil || err2 != nil || first < 1 || last < 1 {
		return Term{}, badTerm(text)
	}
	return Term{zone, min(first, last), max(first, last)}, nil
}

func badTerm(text string) error {
	return report.Errorf("pick", report.Place{}, "%q names no groups", text).
		Expect("a zone such as arrow, a group such as arrow.3, or a range such as arrow.2..7")
}

// String gives the form that ParseTerm reads.
func (t Term) String() string {
	switch {
	case t.From == 0:
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
	if t.From == 0 {
		return zone.Groups, nil
	}
	if t.To > len(zone.Groups) {
		d := report.Errorf("pick", report.Place{}, "%s goes beyond zone %s of lamp %s, which has %s", t, t.Zone, l.Name, plural(len(zone.Groups), "group")).
			Do("use 1 to %d", len(zone.Groups))
		return nil, &d
	}
	return zone.Groups[t.From-1 : t.To], nil
}

// AddZone adds a named zone of groups, which it sorts into layout order.
func (l *Lamp) AddZone(name string, groups []int) {
	sorted := slices.Clone(groups)
	slices.Sort(sorted)
	l.Zones = append(l.Zones, Zone{name, slices.Compact(sorted)})
}
