package rules

import (
	"fmt"
	"slices"

	"lampwright/kit"
	"lampwright/report"
)

// Sources of the rule that a stop lamp is not animated.
const (
	stopUS = "FMVSS 108 Table I-a, steady burning with the service brake (read second-hand); NHTSA letters 3157o, aiam4006, reed.ztv"
	stopUN = "UN R48 6.7.7, all stop lamps light together on the brake signal (from memory, high confidence)"
)

func stopSource(u kit.Use) string {
	if u == kit.RoadUN {
		return stopUN
	}
	return stopUS
}

// stopSteady refuses a stop lamp on the road that builds up, moves, or runs on after the brake: all its light comes at once, stays steady, and goes dark at release.
func stopSteady(k *kit.Kit) (list report.List) {
	if !k.Use.OnRoad() {
		return nil
	}
	for _, y := range k.Layers {
		if !stops(y) {
			continue
		}
		severity, what := stopSeverity(y)
		say := func(id, remedy, format string, args ...any) {
			list.Add(report.Findingf(severity, id, y.At, format, args...).
				Because("all light of %s comes on together, stays steady and goes dark when the brake is released; light that builds up or runs on costs the driver behind time, or tells a brake that is not there", what).
				Against(fmt.Sprintf("use %s", k.Use), "no animation of the stop signal", stopSource(k.Use)).Do("%s", remedy))
		}
		if y.Arrive != nil {
			say("stop-arrive", "take arrive: out, or say use: show-only if the car stays off the road",
				"stop signal %q builds up with the routine %q", y.Name, y.Arrive.Name)
		}
		if y.Leave != nil {
			say("stop-leave", "take leave: out, or say use: show-only if the car stays off the road",
				"stop signal %q runs on after release with the routine %q", y.Name, y.Leave.Name)
		}
		if y.KeepsMS != nil && *y.KeepsMS > 0 {
			say("stop-keeps", "take keeps: out, or say use: show-only if the car stays off the road",
				"stop signal %q holds its groups for %g ms after release", y.Name, *y.KeepsMS)
		}
		for _, t := range y.Takes {
			if y.Stay == nil {
				continue
			}
			if at, moves := firstChange(y.Stay.On(t.Lamp), t); moves {
				say("stop-moves", "hold one light in its stay routine, or say use: show-only if the car stays off the road",
					"the light of stop signal %q changes in lamp %q, first after %g ms", y.Name, t.Lamp.Name, at)
				break
			}
		}
	}
	return list
}

// stopSeverity is stop-work for a signal that lights a required stop lamp. For extra lamps the letters are guidance: auxiliary lamps should act like the lamps that they supplement.
func stopSeverity(y *kit.Layer) (report.Severity, string) {
	for _, t := range y.Takes {
		if overlap(groupsFor(t.Lamp, "stop", true), t.Groups) {
			return report.StopWork, "a required stop lamp"
		}
	}
	return report.Caution, "a stop lamp, also of an extra one (auxiliary lamps should act like the lamps that they supplement, NHTSA letter 20174.ztv),"
}

// firstChange gives the time, ms, at which the light of any of the groups first differs from that at the routine's start.
func firstChange(b *kit.Bound, t kit.Take) (atMS float64, changes bool) {
	var first []float64
	frames(b, t, func(ms float64, lights []float64) bool {
		if first == nil {
			first = slices.Clone(lights)
		}
		atMS, changes = ms, !slices.Equal(first, lights)
		return !changes
	})
	return atMS, changes
}
