package rules

import (
	"lampwright/kit"
	"lampwright/report"
)

// unbarred finds shows that nothing keeps from running while the car is driven. A car that stays off the road is never driven.
func unbarred(k *kit.Kit) (list report.List) {
	if !k.Use.OnRoad() {
		return nil
	}
	for _, y := range k.Layers {
		if !y.Show || len(y.NotWhile)+len(y.OnlyWhile) > 0 {
			continue
		}
		list.Add(report.Findingf(report.Caution, "show-unbarred", y.At, "show %q can run while the car is driven: nothing but its switch keeps it off", y.Name).
			Because("a show on the road distracts, hides what the lamps mean and is forbidden in most places; a remote in a pocket is enough to start it").
			Against("no bar", "not-while or only-while", "FMVSS 108 S6.2.1, nothing may impair required lamps; UN R48 5.10, lamps as prescribed only (both from memory)").
			Do("add not-while: ignition and wire that input to a tap that is live when the key is on; or only-while: with a switch of the parking brake"))
	}
	return list
}
