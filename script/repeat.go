package script

import (
	"math/big"
	"strings"

	"lampwright/units"
)

// flash reads rate/min:share% in runes from..end-1.
func (w word) flash(press *Press, from, end int) {
	text := w.text(from, end)
	rate, share, ok := strings.Cut(text, "/min:")
	share, percent := strings.CutSuffix(share, "%")
	if !ok || !percent {
		w.p.faults.Add(w.fault("script-flash", from, end, "%q is not a repeat", text).
			Expect("flashes a minute and the share that is on, such as 90/min:50%%").Do("write it in that form"))
		return
	}
	middle := from + len([]rune(rate))
	perMinute, ok := scaled(rate, 1000)
	if !ok || perMinute < MinRate || perMinute > MaxRate {
		w.p.faults.Add(w.fault("script-flash", from, middle, "%q is not a rate", rate).
			Expect("%d to %d flashes a minute, at most three decimals", MinRate/1000, MaxRate/1000).Do("write it in that form"))
		return
	}
	on, ok := scaled(share, 10)
	if !ok || on < MinShare || on > MaxShare {
		w.p.faults.Add(w.fault("script-flash", middle+len("/min:"), end, "%q is not a share of a flash", share+"%").
			Expect("%d %% to %d %%, at most one decimal", MinShare/10, MaxShare/10).Do("write it in that form"))
		return
	}
	press.Flash = Flash{Rate: perMinute, Share: on}
}

// bounce reads the chatter time from rune from on.
func (w word) bounce(press *Press, from int) {
	end := len(w.runes)
	t, err := units.ParseTime(w.text(from, end))
	if err != nil || t <= 0 || t > MaxBounce {
		w.p.faults.Add(w.fault("script-bounce", from, end, "%q is not a bounce time", w.text(from, end)).
			Expect("more than 0 and at most %s, such as 4ms; it stands last in a press", MaxBounce).Do("write it in that form"))
		return
	}
	press.Bounce = t
}

// sense refuses parts that are fine alone and mean nothing together.
func (w word) sense(press Press, at, tilde, bang int) {
	long := press.To - press.From
	if press.To+press.Bounce > MaxTime {
		w.p.faults.Add(w.fault("script-time", at+1, tilde, "the contacts still chatter at %s, later than is played", MaxTime).
			Do("end the press earlier"))
	}
	if press.Flash.Rate > 0 {
		one := press.Flash.offAt(0)
		if press.Bounce > 0 && (press.Bounce >= one || press.Bounce >= press.Flash.onAt(1)-one) {
			w.p.faults.Add(w.fault("script-bounce", bang, len(w.runes),
				"contacts that chatter for %s never come to rest: each flash is on for %s and dark for %s",
				press.Bounce, one, press.Flash.onAt(1)-one).Do("give a shorter bounce, or a slower flash"))
		}
		if one > long {
			w.p.faults.Add(w.fault("script-flash", tilde+1, bang, "one flash is on for %s, longer than the whole press of %s",
				one, long).Do("write a steady press, or a longer one"))
		}
		return
	}
	if press.Bounce >= long {
		w.p.faults.Add(w.fault("script-bounce", bang, len(w.runes),
			"contacts that chatter for %s never come to rest in a press of %s", press.Bounce, long).
			Do("give a shorter bounce, or a longer press"))
	}
}

// scaled reads a plain decimal number as a whole number of 1/unit. It refuses signs, exponents and finer decimals.
func scaled(text string, unit int64) (int, bool) {
	if !plain(text) || len(text) > 12 {
		return 0, false
	}
	value, ok := new(big.Rat).SetString(text)
	if !ok {
		return 0, false
	}
	value.Mul(value, new(big.Rat).SetInt64(unit))
	if !value.IsInt() || !value.Num().IsInt64() || value.Num().Int64() > 1<<30 {
		return 0, false
	}
	return int(value.Num().Int64()), true
}

// plain tells whether a text is digits with at most one point between them.
func plain(text string) bool {
	whole, rest, point := strings.Cut(text, ".")
	digits := func(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
	return digits(whole) && (!point || digits(rest))
}
