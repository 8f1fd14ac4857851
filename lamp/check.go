package lamp

import (
	"math"
	"slices"
	"strings"

	"lampwright/report"
)

// Check gives what is wrong with the lamp as drawn: errors that make it no
// lamp (names given twice, LEDs in no group or in two, a group of two colours,
// a side that contradicts the place, a light path without length, an outline
// that crosses itself) and cautions (LEDs outside the outline, two LEDs on one
// spot). The diagnostics have no place in a document; the text names the lamp
// and the thing.
func (l *Lamp) Check() report.List {
	var wrong report.List
	wrong = append(wrong, l.checkNames()...)
	wrong = append(wrong, l.checkPlace()...)
	wrong = append(wrong, l.checkGroups()...)
	wrong = append(wrong, l.checkOutline()...)
	wrong = append(wrong, l.checkSpots()...)
	for i := range wrong {
		wrong[i].Text = "lamp " + l.Name + ": " + wrong[i].Text
	}
	return wrong
}

func (l *Lamp) checkNames() report.List {
	var wrong report.List
	twice := func(what string, n int, name func(i int) string) {
		seen := make(map[string]bool, n)
		for i := range n {
			if seen[name(i)] {
				wrong.Add(report.Errorf("name-twice", report.Place{}, "two %ss have the name %s", what, name(i)).Do("rename one of them"))
			}
			seen[name(i)] = true
		}
	}
	twice("LED", len(l.LEDs), func(i int) string { return l.LEDs[i].ID })
	twice("group", len(l.Groups), func(i int) string { return l.Groups[i].Name })
	twice("zone", len(l.Zones), func(i int) string { return l.Zones[i].Name })
	twice("light path", len(l.Paths), func(i int) string { return l.Paths[i].Name })
	for _, p := range l.Paths {
		if p.LengthMM() == 0 {
			wrong.Add(report.Errorf("light-path", report.Place{}, "light path %s has no length", p.Name).Do("give it two or more different corners"))
		}
	}
	return wrong
}

func (l *Lamp) checkPlace() report.List {
	var wrong report.List
	at := l.Place.At
	if l.Place.Side == LH && at.X > 0 || l.Place.Side == RH && at.X < 0 {
		stands := "right"
		if at.X < 0 {
			stands = "left"
		}
		wrong.Add(report.Errorf("side-place", report.Place{}, "an %s lamp stands at x = %s mm, which is %s of the driver's middle", l.Place.Side, mm(at.X), stands).
			Because("LH is the driver's left, where x is below 0").Do("change the side or the sign of x"))
	}
	if !at.finite() {
		wrong = allFinite(wrong, at)
	}
	if len(l.LEDs) == 0 {
		wrong.Add(report.Errorf("no-led", report.Place{}, "there is no LED").Do("add a pattern of LEDs"))
	}
	if len(l.LEDs) > MaxLEDs {
		wrong.Add(report.Errorf("too-many-leds", report.Place{}, "%d LEDs are more than one lamp may have", len(l.LEDs)).
			Expect("at most %d", MaxLEDs).Do("split the lamp in two"))
	}
	return wrong
}

func (l *Lamp) checkGroups() report.List {
	var wrong report.List
	owner := make([]int, len(l.LEDs))
	for i := range owner {
		owner[i] = -1
	}
	for g, group := range l.Groups {
		if len(group.LEDs) == 0 {
			wrong.Add(report.Errorf("empty-group", report.Place{}, "group %s has no LED", group.Name).Do("give it LEDs or remove it"))
		}
		for _, led := range group.LEDs {
			if owner[led] >= 0 {
				wrong.Add(report.Errorf("led-twice", report.Place{}, "LED %s is in the groups %s and %s", l.LEDs[led].ID, l.Groups[owner[led]].Name, group.Name).
					Because("two outputs would drive it").Do("take it out of one"))
			}
			owner[led] = g
		}
		if colours := l.coloursOf(group); len(colours) > 1 {
			wrong.Add(report.Errorf("mixed-group", report.Place{}, "group %s has LEDs of the colours %s", group.Name, strings.Join(colours, " and ")).
				Because("one output lights them together, and a road function has one colour").Do("make a group of each colour"))
		}
	}
	for i, g := range owner {
		if g < 0 {
			wrong.Add(report.Errorf("led-alone", report.Place{}, "LED %s is in no group", l.LEDs[i].ID).
				Because("no output would ever light it").Do("add it to a group"))
		}
	}
	return wrong
}

// coloursOf gives the colours of a group's LEDs, sorted.
func (l *Lamp) coloursOf(g Group) []string {
	var colours []string
	for _, led := range g.LEDs {
		if c := l.LEDs[led].Colour; !slices.Contains(colours, c) {
			colours = append(colours, c)
		}
	}
	slices.Sort(colours)
	return colours
}

func (l *Lamp) checkOutline() report.List {
	var wrong report.List
	if len(l.Outline) == 0 {
		return nil
	}
	if first, second, crosses := crossing(l.Outline); crosses {
		wrong.Add(report.Errorf("outline", report.Place{}, "the outline crosses itself: its stretches %d and %d meet", first, second).
			Do("put the corners in the order in which a pencil would draw them"))
		return wrong
	}
	if len(l.Outline) < 3 || polygonArea(l.Outline) == 0 {
		wrong.Add(report.Errorf("outline", report.Place{}, "the outline encloses nothing").Do("draw three or more corners that are not in line"))
		return wrong
	}
	strays := l.Strays()
	if len(strays) == 0 {
		return nil
	}
	worst := strays[0]
	for _, s := range strays[1:] {
		if s.DistanceMM > worst.DistanceMM {
			worst = s
		}
	}
	wrong.Add(report.Findingf(report.Caution, "outside-outline", report.Place{}, "%s outside the outline, %s by %s mm",
		stands(len(strays)), l.LEDs[worst.LED].ID, mm(worst.DistanceMM)).
		Against(mm(worst.DistanceMM)+" mm", "0 mm", "common practice").
		Do("correct the pattern or the outline: the LED would stand outside the lens"))
	return wrong
}

func stands(n int) string {
	if n == 1 {
		return "1 LED stands"
	}
	return report.Count(n, "LED") + " stand"
}

// checkSpots looks for two LEDs on one spot: a pattern written twice.
func (l *Lamp) checkSpots() report.List {
	var wrong report.List
	type spot struct{ x, y int64 } // in hundredths of a millimetre
	seen := make(map[spot]int, len(l.LEDs))
	for i, led := range l.LEDs {
		at := spot{int64(math.Round(led.At.X * 100)), int64(math.Round(led.At.Y * 100))}
		if first, ok := seen[at]; ok {
			wrong.Add(report.Findingf(report.Caution, "same-spot", report.Place{}, "the LEDs %s and %s stand on one spot, %s", l.LEDs[first].ID, led.ID, led.At).
				Do("move or remove one, or make it one LED"))
			return wrong
		}
		seen[at] = i
	}
	return wrong
}
