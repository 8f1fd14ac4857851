package feed

import (
	"fmt"

	"lampwright/report"
)

// The findings of a derivation. Each tells the figures, why the wire cannot be read, and what to do.

const sampling = "calculated: one sample every 0.5 ms, clock ± 0.5 %, any phase"

// ms prints nanoseconds as milliseconds with two decimals.
func ms(ns int64) string { return fmt.Sprintf("%.2f ms", float64(ns)/1e6) }

func (d *derivation) finding(severity report.Severity, id, format string, args ...any) report.Diagnostic {
	return report.Findingf(severity, id, report.Place{}, format, args...)
}

func (d *derivation) refuseMissed(p Pulses) {
	d.list.Add(d.finding(report.StopWork, "feed-too-short", "the high parts of the wire (%s) last %s and fall between the samples", p, ms(d.cycle.high)).
		Because("the module looks every 0.5 ms; what it can miss again and again reads as off").
		Against(ms(d.cycle.high), ms(longRefresh), sampling).
		Do("stretch the pulses with a diode, a capacitor and a resistor before the input and enter what the wire does behind them, or take the signal from another wire"))
}

func (d *derivation) refuseSlowStop(need int) {
	ns := int64(need) * longRefresh
	d.list.Add(d.finding(report.StopWork, "feed-stop-late", "test pulses of %s make the stop light wait %s", d.feed.TestPulse.Width, ms(ns)).
		Because("the module must see %d highs in a row before it can tell braking from a test, and the stop light may not wait that long", need).
		Against(ms(ns), ms(stopLateNS), ownTarget).
		Do("take the stop signal from the brake switch or another wire without test pulses; pulses shorter than %s can be told from braking in time", ms(d.longestStopPulse())))
}

// longestStopPulse is the width, ns, from which on test pulses make the stop light late.
func (d *derivation) longestStopPulse() int64 {
	return (stopLateNS/longRefresh - 1) * shortRefresh
}

func (d *derivation) refuseAlike(need int) {
	t, p := d.feed.TestPulse, d.cycle
	what, name := "chopped", "the high parts of the chopped wire"
	if d.feed.Dimmed != (Pulses{}) {
		what, name = "dimmed", "the high parts of the dimmed wire"
	}
	if quiet, again := d.quiet(); !again || most(p.gap)+1 > GapMost {
		d.list.Add(d.finding(report.StopWork, "feed-slow-pulses", "%s stand %s apart", name, ms(p.gap)).
			Because("the module adds up highs over at most %d refreshes of low; over more, it cannot tell a %s wire from a wire that goes off", GapMost, what).
			Against(ms(p.gap), ms((GapMost-1)*shortRefresh), sampling).
			Do("take the signal from a wire that is not pulsed, or hold the input up with a diode and a capacitor and enter what the wire does behind them"))
	} else {
		d.list.Add(d.finding(report.StopWork, "feed-alike", "test pulses of %s every %s look like the %s wire, which is high for %s and low for %s",
			t.Width, t.Every, what, ms(p.high), ms(p.gap)).
			Because("between test pulses the wire is low for %d samples, no longer than while it is on (%d samples), and a high part gives %d samples, which a test pulse can give too (%d)",
				quiet, most(p.gap), p.hits, need-1).
			Against(fmt.Sprintf("%d samples low between test pulses", quiet), fmt.Sprintf("at least %d", (most(p.gap)+1+GapStep-1)/GapStep*GapStep+2), sampling).
			Do("take the signal from a wire without test pulses or pulses, or measure both with a scope and enter what is there"))
	}
}

func (d *derivation) refuseLatched(need, quiet int) {
	t := d.feed.TestPulse
	low := d.cycle.gap + nanos(d.feed.Bounce)
	d.list.Add(d.finding(report.StopWork, "feed-never-off", "test pulses of %s every %s leave the wire low for %s, too short to tell it from a wire that is on (low for up to %s)",
		t.Width, t.Every, ms(nanos(t.Every-t.Width)), ms(low)).
		Because("the module needs %d lows in a row before it calls the wire off; between test pulses it may see only %d, and the light would never go out", need, quiet).
		Against(fmt.Sprintf("%d samples", quiet), fmt.Sprintf("at least %d", need+1), sampling).
		Do("take the signal from a wire without test pulses, or measure bounce and pulses with a scope and enter what is there"))
}

// judge tells of delays that the wire itself makes longer than meant.
func (d *derivation) judge() {
	if ns := d.onNS(); ns > d.onLimitNS() {
		next := "take the signal from a wire that is not pulsed"
		if d.road == "stop" && d.feed.TestPulse.Width == 0 {
			next = "look for test pulses with a scope while the lamp is off and enter them, as in test-pulse: {width: 0.3 ms, every: 100 ms}: where it is known that they are short, the module answers sooner"
		}
		d.list.Add(d.finding(report.Caution, "feed-answers-late", "the input follows its wire by up to %s", ms(ns)).
			Because("low parts of up to %s come between the %d highs that it takes", ms(d.cycle.gap), d.on).
			Against(ms(ns), ms(d.onLimitNS()), ownTarget).Do("%s", next))
	}
	if ns := d.offNS() + nanos(d.feed.Bounce); ns > releaseNS {
		d.list.Add(d.finding(report.Caution, "feed-releases-late", "the input goes off up to %s after its wire", ms(ns)).
			Because("the module has to wait out low parts of %s, bounce of %s and a test pulse", ms(d.cycle.gap), d.feed.Bounce).
			Against(ms(ns), ms(releaseNS), ownTarget).Do("take the signal from a wire with faster pulses and no bounce, or live with a light that goes out later"))
	}
}
