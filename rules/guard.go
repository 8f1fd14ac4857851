package rules

import (
	"fmt"
	"slices"

	"lampwright/kit"
	"lampwright/report"
)

// guard judges the limits of supply and heat.
func guard(k *kit.Kit) (list report.List) {
	g := k.Guard
	for _, m := range k.Modules {
		_, _, highest := m.Board.Supply.From(int(m.Board.Supply.Code(g.HalveAbove)))
		limit := m.Board.Limits.Survives
		if highest < limit.Is {
			continue
		}
		list.Add(report.Findingf(report.Caution, "jump-start", g.At, "light is not halved at a jump start of %s: halve-above %s may come as late as %.2f V", limit.Is, g.HalveAbove, float64(highest)).
			Because("strings chosen for 14 V take two to three times their current at %s, and the outputs with them", limit.Is).
			Against(fmt.Sprintf("%.2f V", float64(highest)), "below "+limit.Is.String(), limit.Source).
			Do("write a lower halve-above, such as %s", kit.HalveAboveUsual))
		break // the boards' dividers are alike
	}
	list.Add(heatHalves(k)...)
	return list
}

// heatHalves notes required lamps whose light halve-at may take below their minimum.
func heatHalves(k *kit.Kit) (list report.List) {
	if k.Guard.HalveAt == 0 || !k.Use.OnRoad() {
		return nil
	}
	var lamps, dim []string
	for _, l := range k.Lamps {
		before := len(lamps)
		for _, f := range l.Functions {
			if !f.Required || f.Name == "stop" {
				continue
			}
			if len(lamps) == before {
				lamps = append(lamps, l.Name)
			}
			if !slices.Contains(dim, f.Name) {
				dim = append(dim, f.Name)
			}
		}
	}
	if len(lamps) == 0 {
		return nil
	}
	list.Add(report.Findingf(report.Note, "heat-halves", k.Guard.At, "from %s on, %s give half their light for %s: it may fall below the least that is asked of them", k.Guard.HalveAt, words(lamps), words(dim)).
		Because("halve-at spares a hot lamp its life, and only the stop stays at full light").
		Against("50 % of the light", "the minimum of each function", "FMVSS 108 Tables VI to IX, UN R6 and R7, minima in candela (from memory)").
		Do("let the lamps give twice their minimum while hot, or cool them, or write a higher halve-at"))
	return list
}
