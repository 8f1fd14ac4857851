package rules

import (
	"fmt"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/units"
)

// Times of a turn on a wire that carries the stop.
const (
	framesMS      = 12.0  // from a filtered input to light, at most: docs/engine.md, section 1
	shortestOnMS  = 150.0 // shortest legal flash: 120 a minute, lit for 30 % (FMVSS 108 Figure 2, SAE J590, from memory)
	leastFlashMS  = 100.0 // light of one flash that an eye takes for a flash of its turn. Common practice, no source
	carriedSource = "common practice, no source; shortest flash 150 ms: FMVSS 108 Figure 2, from memory"
)

// carried judges turn wires that light for the brake as well.
func carried(k *kit.Kit) (list report.List) {
	for _, in := range k.Inputs {
		if !in.CarriesStop {
			continue
		}
		if in.Reference == nil {
			list.Add(report.Findingf(report.Note, "stop-reference", in.At, "%q carries the stop without a reference: the module cannot tell turn from brake", in.Name).
				Because("its lamp lights alike for both; what sweeps for the turn would sweep for the brake, and with the brake on nothing but the car's own flasher makes the turn").
				Against("no reference", "a wire on which only the brake comes", "common practice, no source").
				Do("take such a wire, as that of the high stop lamp, to the module, and write carries-stop: {reference: stop}"))
			continue
		}
		_, delay, _ := feed.FilterFor(in.Feed, in.Road)
		apartMS := feed.ToldApart.Milliseconds()
		late := delay.On.Milliseconds() + apartMS + framesMS
		if left := shortestOnMS - late; left < leastFlashMS {
			list.Add(report.Findingf(report.Note, "turn-late", in.At, "on %q a flash lights up to %.0f ms late, %.0f ms of it because turn and brake must be told apart", in.Name, late, apartMS).
				Because("of the shortest legal flash, %s, that leaves %.0f ms of light", units.Milliseconds(shortestOnMS), left).
				Against(fmt.Sprintf("%.0f ms", left), fmt.Sprintf("%.0f ms", leastFlashMS), carriedSource).
				Do("take the turn from a wire of its own, or from one that is not pulsed"))
		}
	}
	return list
}

// stops tells whether a signal lights with the brake: on the stop's own input, or on a turn wire that carries it untold.
func stops(y *kit.Layer) bool {
	return !y.Show && (y.Input.Road == "stop" || y.Input.CarriesStop && y.Input.Reference == nil)
}
