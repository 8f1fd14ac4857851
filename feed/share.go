package feed

import (
	"fmt"
	"math"
	"slices"

	"lampwright/report"
	"lampwright/units"
)

// Two functions on one wire, dimmed for the first and high for the second, are told apart by the share of time for which the wire is
// high: the module counts the highs among its last 20 samples, and takes the second as on from 15 and as off from 10 (docs/engine.md,
// section 3). Source of the shares: common practice, no source: a mean below 40 % is tail, above 70 % is stop.
const (
	shareWindow = 20 // refreshes
	shareOn     = 15
	shareOff    = 10
)

// SharedFilter is the filter of the second function: the counting is in the share already. SharedDelay is how much later it counts, at
// worst, with a clock that is 0.5 % slow.
var (
	SharedFilter = Filter{On: 1, Off: 1}
	SharedDelay  = Delay{On: shareWindow * 503 * units.Microsecond, Off: shareWindow * 503 * units.Microsecond}
)

// Share tells whether a module can tell a second function on the wire of a first one. Findings have no place. Feeds must pass Check.
func Share(first, second Feed) (list report.List) {
	if first.Dimmed == (Pulses{}) {
		list.Add(report.Errorf("feed-share", report.Place{}, "nothing tells the two functions on this wire apart").
			Because("the first must be dimmed by pulses, so that the second can be its full light").
			Do("describe the wire's pulses under feed: {kind: dimmed, duty: ..., at: ...}, or give each function a wire of its own"))
		return list
	}
	if most := mostIn(float64(first.Dimmed.Duty), first.Dimmed.At); most > shareOff {
		list.Add(report.Errorf("feed-share", report.Place{}, "dimmed %s, the wire may be high for %d of %d samples, and the second function would not go out", first.Dimmed, most, shareWindow).
			Against(fmt.Sprint(most), fmt.Sprint(shareOff), "docs/engine.md, section 3").Do("give the second function a wire of its own"))
	}
	for _, p := range []struct {
		how string
		Pulses
	}{{"chopped", second.Chopped.Pulses}, {"dimmed", second.Dimmed}} {
		if p.Pulses == (Pulses{}) {
			continue
		}
		if least := shareWindow - mostIn(1-float64(p.Duty), p.At); least < shareOn {
			list.Add(report.Errorf("feed-share", report.Place{}, "%s %s, the second function may be high for only %d of %d samples", p.how, p.Pulses, least, shareWindow).
				Against(fmt.Sprint(least), fmt.Sprint(shareOn), "docs/engine.md, section 3").Do("give the second function a wire of its own"))
		}
	}
	if w := second.TestPulse; w != (TestPulse{}) {
		list.Add(report.Errorf("feed-share", report.Place{}, "the second function's %s are on the first one's wire, whose filter knows nothing of them", w).
			Do("write test-pulse under the feed of the first function: the wire is tested, whatever it carries"))
	}
	if w := first.TestPulse; w != (TestPulse{}) {
		every := w.Every
		if every == 0 {
			every = units.Second
		}
		if most := mostIn(w.Width.Seconds()/every.Seconds(), units.Frequency(1/every.Seconds())); most >= shareOn {
			list.Add(report.Errorf("feed-share", report.Place{}, "%s may read as the second function", w).Do("give the second function a wire of its own"))
		}
	}
	return list
}

// mostIn gives the most samples of a window that can fall into the pulses of a duty (0..1) and a frequency, at the worst clock.
func mostIn(duty float64, at units.Frequency) int {
	const fast, slow = float64(shortRefresh) / 1e9, float64(longRefresh) / 1e9 // s
	period := 1 / float64(at)
	window := shareWindow * slow
	whole := math.Floor(window / period)
	high := whole*duty*period + min(window-whole*period, duty*period)
	return min(int(high/fast)+int(whole)+1, shareWindow)
}

// Either gives a wire that is high while either of two is. Both ascend and alternate from low.
func Either(a, b []Edge) []Edge {
	var out []Edge
	var high [2]bool
	all := [2][]Edge{a, b}
	for len(all[0])+len(all[1]) > 0 {
		which := 0
		if len(all[0]) == 0 || len(all[1]) > 0 && all[1][0].At < all[0][0].At {
			which = 1
		}
		e := all[which][0]
		all[which] = all[which][1:]
		was := high[0] || high[1]
		high[which] = e.High
		if now := high[0] || high[1]; now != was {
			out = append(out, Edge{e.At, now})
		}
	}
	// A change that is taken back at the same time is none.
	for i := 0; i+1 < len(out); {
		if out[i].At == out[i+1].At {
			out = slices.Delete(out, i, i+2)
			continue
		}
		i++
	}
	return out
}
