package script

import (
	"math"
	"slices"
	"strings"

	"lampwright/report"
	"lampwright/units"
)

// condition reads the word what[:where]=is[@from..to]. It adds at most one fault for each of its parts.
func (w word) condition() (Condition, bool) {
	before := len(w.p.faults)
	var c Condition
	equals := w.index(0, "=")
	colon := min(w.index(0, ":"), equals)
	at := w.index(equals, "@")
	known, ok := about(w.text(0, colon))
	if !ok {
		w.p.faults.Add(w.fault("script-condition", 0, colon, "%q is nothing that a condition can speak of", w.text(0, colon)).
			DidYouMean(w.text(0, colon), whats()).Expect("%s", strings.Join(whats(), ", ")).Do("use one of these, or write a press such as %s", example))
		return c, false
	}
	c.What = known.of
	if colon < equals {
		c.Where = w.text(colon+1, equals)
		w.where(known, colon+1, equals)
	} else if !known.whole {
		w.p.faults.Add(w.fault("script-where", 0, equals, "%q does not say where", w.text(0, equals)).
			Expect("%s", known.where).Do("write %s:PLACE=%s", known.of, known.words[0]))
	} else if all, asked := w.p.names.Where[known.of]; known.part && asked && len(all) == 0 {
		w.p.faults.Add(w.fault("script-unknown-place", 0, equals, "no module of this job has what %q speaks of", known.of).
			Do("leave the condition out: nothing would come of it"))
	}
	w.is(&c, known, equals+1, at)
	if at < len(w.runes) {
		var times Press
		w.times(&times, at+1, len(w.runes))
		c.From, c.To = times.From, times.To
	}
	if len(w.p.faults) == before {
		w.fits(c, equals+1, at)
	}
	return c, len(w.p.faults) == before
}

// where checks the place in runes from..end-1.
func (w word) where(known thing, from, end int) {
	name := w.text(from, end)
	if !known.part {
		w.p.faults.Add(w.fault("script-where", from, end, "%s is the same everywhere, not only at %q", known.of, name).Do("leave :%s out", name))
		return
	}
	if !validName(name) {
		w.p.faults.Add(w.fault("script-where", from, end, "%q is no place", name).Expect("%s", known.where).Do("write it in that form"))
		return
	}
	all, asked := w.p.names.Where[known.of]
	if !asked || slices.Contains(all, name) {
		return
	}
	d := w.fault("script-unknown-place", from, end, "there is no %q for %s", name, known.of).DidYouMean(name, all)
	if len(all) > 0 {
		d = d.Do("use one of: %s", listed(all))
	} else {
		d = d.Do("the job has none: leave the condition out, or add %s to the job", known.where)
	}
	w.p.faults.Add(d)
}

// listedMost is how many names a message lists.
const listedMost = 24

// listed joins the names for a message; of many the first.
func listed(names []string) string {
	if len(names) <= listedMost {
		return strings.Join(names, ", ")
	}
	return strings.Join(names[:listedMost], ", ") + " …"
}

// is reads what the thing is, in runes from..end-1.
func (w word) is(c *Condition, known thing, from, end int) {
	text := w.text(from, end)
	if slices.Contains(known.words, text) {
		c.Is = text
		return
	}
	refuse := func(expect string) {
		w.p.faults.Add(w.fault("script-value", from, end, "%s cannot be %q", known.of, text).DidYouMean(text, known.words).
			Expect("%s", expect).Do("write it in that form"))
	}
	switch known.of {
	case Supply:
		v, err := units.ParseVoltage(text)
		if err != nil || v < 0 || v > MaxVolts || !short(float64(v)) {
			refuse("0V to 40V without a blank, such as 6.5V, or crank")
			return
		}
		c.Volts = v
	case Heat:
		v, err := units.ParseTemperature(text)
		if err != nil || v < MinDegrees || v > MaxDegrees || !short(float64(v)) {
			refuse("-40C to 150C without a blank, such as 90C")
			return
		}
		c.Degrees = v
	default:
		refuse(strings.Join(known.words, ", "))
	}
}

// short tells whether a number has at most three decimals.
func short(v float64) bool { return math.Round(v*decimals)/decimals == v }

// fits refuses parts that are fine alone and mean nothing together.
func (w word) fits(c Condition, from, end int) {
	refuse := func(format string, args ...any) report.Diagnostic {
		return w.fault("script-value", from, end, format, args...)
	}
	switch {
	case c.Is == Crank && c.To-c.From < crankShort:
		w.p.faults.Add(refuse("a crank dip lasts %s at least", crankShort).Do("write from when to when, such as supply=crank@2s..4s"))
	case c.What == Link && c.Is == Open && c.Where == "":
		w.p.faults.Add(refuse("the link wire is open at one module's end").Do("write link:MODULE=open"))
	case c.What == Link && c.Is != Open && c.Where != "":
		w.p.faults.Add(refuse("the link wire is %s for all modules", c.Is).Do("write link=%s", c.Is))
	}
}
