package rules

import (
	"fmt"
	"strings"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/units"
)

// What a load for the car's lamp check is judged at.
const (
	checkSupply   = units.Voltage(12)       // least supply at which a car checks: engine off, battery at rest. Common practice, no source
	loadTolerance = 0.05                    // of a common load resistor. Common practice, no source
	flasherOn     = 0.75                    // longest share of a flasher's time that is on: FMVSS 108 Figure 2, from memory
	checkEvery    = 500 * units.Millisecond // shortest time from one switching-on to the next: 120 flashes a minute, likewise
)

// ratings are the common sizes of load resistors, W. Common practice, no source.
var ratings = []units.Power{0.25, 0.5, 1, 2, 3, 5, 10, 25, 50, 100}

// outages judges the loads that stand in for a bulb.
func outages(k *kit.Kit) (list report.List) {
	for _, o := range k.Outages {
		list.Add(tooLittle(k, o)...)
		list.Add(tooMuch(o)...)
		list.Add(tooHot(o)...)
		list.Add(hides(k, o)...)
	}
	return list
}

// tooLittle finds a load that the car does not take for a bulb.
func tooLittle(k *kit.Kit, o *kit.Outage) (list report.List) {
	least := float64(checkSupply) / (float64(o.Load) * (1 + loadTolerance))
	if least >= float64(o.Threshold) {
		return nil
	}
	severity, what := report.Caution, "the car tells its driver of a dead lamp"
	switch {
	case o.Kind == kit.FlashRate:
		what = "the car's flasher hurries, as with a dead lamp"
	case o.Kind == kit.ShutOff:
		what = "the car switches the wire off, and the signal with it"
		if o.Input.Road != "" && k.Use.OnRoad() {
			severity = report.StopWork
		}
	}
	most := units.E12AtMost(units.Resistance(float64(checkSupply) / (float64(o.Threshold) * (1 + loadTolerance))))
	list.Add(report.Findingf(severity, "outage-little", o.At, "the load of %q draws %s at %s, and the car looks for %s", o.Name, milliamps(least), checkSupply, o.Threshold).
		Because("%s", what).Against(milliamps(least), "at least "+o.Threshold.String(), "the job's own threshold; "+checkSupply.String()+" and 5 % of the resistor: common practice, no source").
		Do("take a load of %s or less", most))
	return list
}

// tooMuch finds a load that an output does not bear.
func tooMuch(o *kit.Outage) (list report.List) {
	most := float64(feed.HotSupply) / (float64(o.Load) * (1 - loadTolerance))
	limit := o.Module.Board.Limits.Output
	if most <= float64(limit.Is) {
		return nil
	}
	list.Add(report.Findingf(report.Caution, "outage-output", o.At, "the load of %q draws %s at %s from output %d of %q, which bears %s", o.Name, milliamps(most), feed.HotSupply, o.Output+1, o.Module.Name, limit.Is).
		Because("an output that fails conducts for ever, and the load burns").See(o.Module.At, "board %s", o.Module.Board.Name).
		Against(milliamps(most), limit.Is.String(), limit.Source).
		Do("take a load of %s or more, or let the output switch a transistor that bears it, or use a board with stronger outputs", units.E12AtLeast(units.Resistance(float64(feed.HotSupply)/(float64(limit.Is)*(1-loadTolerance))))))
	return list
}

// tooHot finds a resistor that is loaded too much, or of which nobody said what it bears.
func tooHot(o *kit.Outage) (list report.List) {
	share := 1.0
	switch {
	case o.Window > 0:
		share = min(float64(o.Window)/float64(checkEvery), 1)
	case strings.HasPrefix(o.Input.Road, "turn-"):
		share = flasherOn
	}
	heat := share * float64(feed.HotSupply) * float64(feed.HotSupply) / (float64(o.Load) * (1 - loadTolerance))
	need := units.Power(0)
	for _, r := range ratings {
		if need == 0 && heat <= float64(r)*feed.RatedUse {
			need = r
		}
	}
	figure, source := fmt.Sprintf("%.2f W", heat), fmt.Sprintf("%.0f %% of the rating, common practice, no source; %s: ISO 16750-2, from memory", 100*feed.RatedUse, feed.HotSupply)
	remedy := fmt.Sprintf("fit a resistor rated %s or more on bare metal, away from wires and plastic, and write rating: %s", need, need)
	if need == 0 {
		remedy = "take a larger load, or none: no resistor that fits a lamp bears this"
	}
	switch {
	case o.Rating == 0:
		list.Add(report.Findingf(report.Note, "outage-rating", o.At, "the load of %q turns up to %s into heat, and it is not said what it bears", o.Name, figure).
			Because("a load resistor in a lamp is what most often burns").Against(figure, "not said", source).Do("%s", remedy))
	case heat > float64(o.Rating)*feed.RatedUse:
		list.Add(report.Findingf(report.Caution, "outage-hot", o.At, "the load of %q turns up to %s into heat, and is rated %s", o.Name, figure, o.Rating).
			Because("a load resistor in a lamp is what most often burns").Against(figure, fmt.Sprintf("%.2f W", float64(o.Rating)*feed.RatedUse), source).Do("%s", remedy))
	}
	return list
}

// hides finds loads that keep a dead turn lamp from the driver.
func hides(k *kit.Kit, o *kit.Outage) (list report.List) {
	if !k.Use.OnRoad() || o.Sense != nil || !strings.HasPrefix(o.Input.Road, "turn-") || len(groupsFor(o.Module.Lamp, "turn", true)) == 0 {
		return nil
	}
	list.Add(report.Findingf(report.Note, "outage-hides", o.At, "with the load of %q the car never learns of a dead turn lamp", o.Name).
		Because("the load draws its current whether the lamp lights or not").
		Against("no sense", "a turn that fails is told to the driver", "FMVSS 108 S9.3.6, UN R48 6.5.8 (from memory)").
		Do("write sense: with an input that is on while the lamp is whole, or check the lamps at every service and say so on the owner's sheet"))
	return list
}

func milliamps(amperes float64) string { return fmt.Sprintf("%.0f mA", amperes*1e3) }
