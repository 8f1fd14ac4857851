package kit

import (
	"fmt"

	"lampwright/report"
	"lampwright/units"
)

// Guard is what every module does when supply or heat leave their bounds, and when nothing is asked of it. A value of 0 is
// never.
type Guard struct {
	ShowsAbove units.Voltage     // shows end below
	HalveAbove units.Voltage     // every light is halved from here on
	SleepAfter units.Time        // of nothing asked
	ShowsOffAt units.Temperature // at the board's sensor: shows end from here on
	HalveAt    units.Temperature // likewise: every light but the stop is halved
	At         report.Place      // of the guard, or of the job when none is written
}

// HalveAboveUsual is where light is halved unless the job says otherwise: above every charging voltage, well below a jump
// start's 24 V. Common practice, no source.
const HalveAboveUsual units.Voltage = 17

// guard resolves the guard of the job, and holds its limits to their order and to what the boards can tell.
func (b *builder) guard() {
	g := &b.kit.Guard
	*g = Guard{HalveAbove: HalveAboveUsual, At: b.doc.Job.Where}
	v := b.doc.Guard
	if v == nil {
		return
	}
	*g = Guard{
		ShowsAbove: v.ShowsAbove.Value, HalveAbove: v.HalveAbove.Or(HalveAboveUsual), SleepAfter: v.SleepAfter.Value,
		ShowsOffAt: v.ShowsOffAt.Value, HalveAt: v.HalveAt.Value, At: v.Where,
	}
	if g.ShowsAbove >= g.HalveAbove {
		b.add(report.Errorf("guard", v.ShowsAbove.Where, "shows run above %s, and light is halved from %s on", g.ShowsAbove, g.HalveAbove).
			Because("at no supply between the two would a show run").
			Against(g.ShowsAbove.String(), "below "+g.HalveAbove.String(), "halve-above"+unlessWritten(v.HalveAbove.Given())).
			Do("write a lower shows-above, such as 11.8 V, or a higher halve-above"))
	}
	if g.ShowsOffAt > 0 && g.HalveAt > 0 && g.ShowsOffAt >= g.HalveAt {
		b.add(report.Errorf("guard", v.ShowsOffAt.Where, "shows end at %s, and light is halved at %s already", g.ShowsOffAt, g.HalveAt).
			Because("what is only for show goes first; and a module whose light is halved runs no show").
			Against(g.ShowsOffAt.String(), "below "+g.HalveAt.String(), "halve-at").
			Do("write a lower shows-off-at, such as 85 °C, or a higher halve-at, such as 105 °C"))
	}
	b.guardOnBoards(v.HalveAbove.Where, v.ShowsOffAt.Or(v.HalveAt.Value) > 0)
}

// guardOnBoards compares the guard with the boards of the job.
func (b *builder) guardOnBoards(halveAt report.Place, heat bool) {
	if halveAt.IsZero() {
		halveAt = b.kit.Guard.At
	}
	var lowest units.Voltage // at which halve-above may come
	var worst *Module
	for _, m := range b.kit.Modules {
		if m.Board.Name == "" {
			continue // it is unknown, and was reported
		}
		if _, low, _ := m.Board.Supply.From(int(m.Board.Supply.Code(b.kit.Guard.HalveAbove))); worst == nil || low < lowest {
			lowest, worst = low, m
		}
		if heat && !m.Board.Heat.Fitted() {
			b.add(report.Errorf("guard", b.kit.Guard.At, "board %s of %q has no heat sensor", m.Board.Name, m.Name).
				Because("shows-off-at and halve-at would never come").Do("choose another board, or leave the temperatures out"))
		}
	}
	if worst == nil {
		return
	}
	if limit := worst.Board.Limits.HighestSupply; lowest < limit.Is {
		b.add(report.Errorf("guard", halveAt, "halve-above %s may come at %.2f V on board %s", b.kit.Guard.HalveAbove, float64(lowest), worst.Board.Name).
			Because("up to %s the road lamps must be at full light, and the divider, the logic supply and the converter are off by so much at the worst", limit.Is).
			Against(fmt.Sprintf("%.2f V", float64(lowest)), limit.Is.String(), limit.Source).
			Do("write a higher halve-above, such as %s", HalveAboveUsual))
	}
}

func unlessWritten(given bool) string {
	if given {
		return ""
	}
	return ", as it is unless written"
}
