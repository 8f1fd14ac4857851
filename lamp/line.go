package lamp

import (
	"fmt"
	"math"
	"slices"

	"lampwright/report"
)

// Line is LEDs at equal arc lengths along a line of straight stretches. An
// open line has an LED at each end; a closed one has its first LED at its
// first corner. Give either a count or a spacing.
type Line struct {
	Through   []Point // corners
	Closed    bool    // the last corner is joined to the first
	Count     int     // LEDs; 0 if the spacing is given
	SpacingMM float64 // arc length from LED to LED, mm; 0 if the count is given
}

// spacingPlay is the share by which the spacing asked for may differ from the
// one that makes whole gaps. Common practice, no source: LED tape and holes
// drilled by hand take up as much.
const spacingPlay = 0.05

func (l Line) lay(bool) (laid, report.List) {
	var wrong report.List
	wrong = allFinite(wrong, l.Through...)
	wrong = allFinite(wrong, Point{l.SpacingMM, 0})
	if len(wrong) > 0 {
		return laid{}, wrong
	}
	path := Path{Points: slices.Clone(l.Through), Closed: l.Closed}
	t := path.track()
	length := t.length()
	if len(l.Through) < 2 || length == 0 {
		wrong.Add(report.Errorf("pattern", report.Place{}, "a line needs two or more different corners").Do("add a corner, or use a single LED"))
		return laid{}, wrong
	}
	count, problem := l.count(length)
	if problem != nil {
		wrong.Add(*problem)
		return laid{}, wrong
	}
	gaps := count - 1
	if l.Closed {
		gaps = count
	}
	out := laid{path: path, pitchMM: length / float64(gaps)}
	for i := range count {
		out.points = append(out.points, t.at(between(0, length, i, gaps)))
	}
	return out, nil
}

// count works out how many LEDs stand on the line.
func (l Line) count(lengthMM float64) (int, *report.Diagnostic) {
	refuse := func(d report.Diagnostic) (int, *report.Diagnostic) { return 0, &d }
	switch {
	case l.Count != 0 && l.SpacingMM != 0:
		return refuse(report.Errorf("pattern", report.Place{}, "a line has both a count and a spacing, and one follows from the other").Do("remove one of them"))
	case l.Count == 0 && l.SpacingMM == 0:
		return refuse(report.Errorf("pattern", report.Place{}, "a line has neither a count nor a spacing").Do("say how many LEDs stand on its %s mm", mm(lengthMM)))
	}
	ends := 1 // LEDs more than gaps
	if l.Closed {
		ends = 0
	}
	if l.SpacingMM == 0 {
		if wrong := countLEDs(nil, l.Count, 2); len(wrong) > 0 {
			return 0, &wrong[0]
		}
		return l.Count, nil
	}
	if !(l.SpacingMM > 0) || lengthMM/l.SpacingMM > MaxLEDs {
		return refuse(report.Errorf("pattern", report.Place{}, "a spacing of %s mm cannot be laid on a line of %s mm", mm(l.SpacingMM), mm(lengthMM)).
			Do("give a spacing that makes 2 to %d LEDs", MaxLEDs))
	}
	gaps := int(math.Round(lengthMM / l.SpacingMM))
	if gaps >= 2-ends && math.Abs(lengthMM/float64(gaps)-l.SpacingMM) <= float64(spacingPlay*l.SpacingMM) {
		return gaps + ends, nil
	}
	few := max(int(lengthMM/l.SpacingMM), 2-ends)
	return refuse(report.Errorf("pattern", report.Place{}, "%s mm cannot be cut into gaps of %s mm", mm(lengthMM), mm(l.SpacingMM)).
		Because("the LEDs stand at equal distances, ends included").
		Do("use %s, or %s", fit(few, ends, lengthMM), fit(few+1, ends, lengthMM)))
}

func fit(gaps, ends int, lengthMM float64) string {
	return fmt.Sprintf("%s (%s mm apart)", report.Count(gaps+ends, "LED"), mm(lengthMM/float64(gaps)))
}
