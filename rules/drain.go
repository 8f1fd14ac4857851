package rules

import (
	"fmt"
	"math/bits"

	"lampwright/board"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/units"
)

// Key-off drain.
const (
	reserveMinutes = 130                 // reserve capacity of a usual battery; from memory
	drainMost      = units.Current(5e-3) // all add-on modules of a car together
	drainSource    = "add-on modules are held to 1 to 5 mA (common practice, no source); days = 0.4 · 0.6 · reserve minutes / (0.024 · mA), a car maker's bulletin"
)

// noStart gives the days after which a drain has emptied a usual battery to no-start, with nothing else drawing.
func noStart(drain units.Current) float64 {
	return 0.4 * 0.6 * reserveMinutes / (0.024 * float64(drain) * 1e3)
}

// drain judges what the modules take from the battery of a parked car.
func drain(k *kit.Kit) (list report.List) {
	var awake, asleep units.Current
	var worst *kit.Module
	n := 0
	for _, m := range k.Modules {
		if m.Fed.Fuse == "" {
			continue
		}
		n++
		low := atRest(k, m)
		awake += m.Board.Awake() + low
		asleep += m.Board.Asleep() + low
		if worst == nil || m.Board.Asleep() > worst.Board.Asleep() {
			worst = m
		}
	}
	what := func(drain units.Current) string {
		return fmt.Sprintf("%.2f mA, no start after %.0f days", 1e3*float64(drain), noStart(drain))
	}
	limit := fmt.Sprintf("%.0f mA, %.0f days", 1e3*float64(drainMost), noStart(drainMost))
	switch {
	case n == 0:
	case k.Guard.SleepAfter == 0:
		list.Add(report.Findingf(report.Caution, "key-off-drain", k.Guard.At, "%s on the battery never sleep, and take %.1f mA from a parked car", modules(n), 1e3*float64(awake)).
			Because("a battery of %d minutes reserve capacity is then down to no start after %.0f days, the car's own drain not counted", reserveMinutes, noStart(awake)).
			Against(what(awake), limit, drainSource).
			Do("write guard: {sleep-after: 30 s}; asleep they take %.2f mA", 1e3*float64(asleep)))
	case asleep > drainMost:
		list.Add(report.Findingf(report.Caution, "key-off-drain", k.Guard.At, "%s on the battery take %.2f mA from a parked car while they sleep", modules(n), 1e3*float64(asleep)).
			Because("a battery of %d minutes reserve capacity is then down to no start after %.0f days, the car's own drain not counted", reserveMinutes, noStart(asleep)).
			Against(what(asleep), limit, drainSource).
			See(worst.At, "board %s takes most: %.2f mA, where %.2f mA is the goal", worst.Board.Name, 1e3*float64(worst.Board.Asleep()), 1e3*float64(board.AsleepGoal)).
			Do("use smaller boards, or feed extra lamps from a wire that is dead when the car is parked"))
	}
	return list
}

// lowAtRest is what an input that is switched to ground takes while it is open: (12.6 V - 5.3 V) / 20 kΩ, docs/boards/around.md.
const lowAtRest units.Current = 0.37e-3

// atRest is what a module's inputs take from the battery while nothing is asked.
func atRest(k *kit.Kit, m *kit.Module) (all units.Current) {
	for _, in := range k.Inputs {
		if in.ActiveLow && in.Shares == nil {
			all += lowAtRest * units.Current(bits.OnesCount8(m.InputPins(in)))
		}
	}
	return all
}
