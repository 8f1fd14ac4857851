package web

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"lampwright/car"
	"lampwright/report"
	"lampwright/script"
	"lampwright/units"
)

// How a switch stands.
const (
	switchOn    = "on"    // it stays on until it is switched off
	switchFlash = "flash" // it goes on and off with the car's flasher
	switchOff   = "off"
)

// The flasher of the bench: no faster than what may be shown without asking (three flashes a second, WCAG 2.2, 2.3.1), and in the
// shares that flashers have (FMVSS 108, Figure 2: 30 % to 75 %, from memory) with some room.
const (
	rateLeast, rateMost   = 30, 180 // a minute
	shareLeast, shareMost = 20, 80  // per cent of a flash
)

// crankLasts is how long the engine is cranked at a press. Common practice, no source.
const crankLasts = 2 * units.Second

// switches is the car of the bench as all windows have it in their hands. Times are the bench's own.
type switches struct {
	latched map[string]*latch
	held    map[string]map[string]bool // by window: what it presses, for as long as it does
	flash   script.Flash
	supply  units.Voltage
	heat    units.Temperature
	gone    bool
	dip     []script.Level // of a crank under way
	dipEnds units.Time
}

// latch is a switch that is left on.
type latch struct {
	flash bool
	since units.Time // of the first flash
}

func (w *switches) rest() {
	w.latched, w.dip, w.dipEnds = map[string]*latch{}, nil, 0
	w.supply, w.heat, w.gone = usualSupply, car.RoomDegrees, false
	if w.flash.Rate == 0 {
		w.flash = script.Flash{Rate: 90_000, Share: 500}
	}
}

// turn is what a window does to the switches; what it leaves out stays as it is.
type turn struct {
	Window   string            `json:"window"`
	Held     *[]string         `json:"held"`     // all that this window presses from now on
	Switches map[string]string `json:"switches"` // input: on, flash or off
	Flasher  *flasher          `json:"flasher"`
	Supply   *float64          `json:"supply"` // V
	Heat     *float64          `json:"heat"`   // °C
	Battery  *bool             `json:"battery"`
	Crank    bool              `json:"crank"`
	Rest     bool              `json:"rest"` // first all switches off, and the car at rest
	Record   *bool             `json:"record"`
}

type flasher struct {
	Rate  float64 `json:"rate"`  // flashes a minute
	Share float64 `json:"share"` // per cent of a flash that is on
}

// check refuses what cannot be done; known tells whether the job has an input.
func (t turn) check(known func(input string) bool) (list report.List) {
	add := func(next, format string, args ...any) { list = append(list, one(next, format, args...)...) }
	inputs := slices.Sorted(maps.Keys(t.Switches))
	if t.Held != nil {
		inputs = append(inputs, *t.Held...)
	}
	for _, name := range inputs {
		if !known(name) {
			add("choose another", "there is no input %q", name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(t.Switches)) {
		if how := t.Switches[name]; how != switchOn && how != switchFlash && how != switchOff {
			add("say on, flash or off", "a switch cannot be %q", how)
		}
	}
	if f := t.Flasher; f != nil && !(f.Rate >= rateLeast && f.Rate <= rateMost && f.Share >= shareLeast && f.Share <= shareMost) {
		add(fmt.Sprintf("choose %d to %d a minute, on for %d to %d %% of each flash", rateLeast, rateMost, shareLeast, shareMost), "the flasher of the bench does not go %g a minute, on for %g %%", f.Rate, f.Share)
	}
	if v := t.Supply; v != nil && !(*v >= 0 && *v <= float64(script.MaxVolts)) {
		add(fmt.Sprintf("choose 0 V to %s", script.MaxVolts), "no car has a supply of %g V", *v)
	}
	if h := t.Heat; h != nil && !(*h >= float64(script.MinDegrees) && *h <= float64(script.MaxDegrees)) {
		add(fmt.Sprintf("choose %s to %s", script.MinDegrees, script.MaxDegrees), "no lamp is at %g °C", *h)
	}
	return list
}

// take does what a window does.
func (w *switches) take(t turn, now units.Time) {
	if t.Rest {
		w.rest()
		delete(w.held, t.Window)
	}
	if f := t.Flasher; f != nil {
		w.flash = script.Flash{Rate: int(f.Rate * 1000), Share: int(f.Share * 10)}
		for _, l := range w.latched { // a flasher that runs begins anew
			if l.flash {
				l.since = now
			}
		}
	}
	together := false // what is set to flash at once flashes together
	for name, how := range t.Switches {
		old := w.latched[name]
		together = together || how == switchFlash && (old == nil || !old.flash)
	}
	for name, how := range t.Switches {
		switch old := w.latched[name]; {
		case how == switchOff:
			delete(w.latched, name)
		case how == switchOn:
			w.latched[name] = &latch{}
		case together || old == nil || !old.flash:
			w.latched[name] = &latch{flash: true, since: now}
		}
	}
	if t.Held != nil {
		pressed := map[string]bool{}
		for _, name := range *t.Held {
			pressed[name] = true
		}
		w.held[t.Window] = pressed
	}
	if t.Supply != nil {
		w.supply = units.Voltage(tenths(*t.Supply))
	}
	if t.Heat != nil {
		w.heat = units.Temperature(tenths(*t.Heat))
	}
	if t.Battery != nil {
		w.gone = !*t.Battery
	}
	if t.Crank {
		cranked := script.Script{World: []script.Condition{{What: script.Supply, Is: script.Crank, From: now, To: now + crankLasts}}}
		w.dip, w.dipEnds = cranked.Timeline(0).SupplyLevels(w.supply), now+crankLasts
	}
}

// tenths rounds, for scripts have few digits.
func tenths(v float64) float64 { return math.Round(v*10) / 10 }

// pressed tells how an input is asked for, and since when it flashes; "" when it is not.
func (w *switches) pressed(input string) (how string, since units.Time) {
	for _, held := range w.held {
		if held[input] {
			return switchOn, 0
		}
	}
	switch l := w.latched[input]; {
	case l == nil:
		return "", 0
	case l.flash:
		return switchFlash, l.since
	}
	return switchOn, 0
}

// inputs gives all that are asked for, in the order of their names.
func (w *switches) inputs() []string {
	all := map[string]bool{}
	for name := range w.latched {
		all[name] = true
	}
	for _, held := range w.held {
		for name, on := range held {
			all[name] = all[name] || on
		}
	}
	maps.DeleteFunc(all, func(_ string, on bool) bool { return !on })
	return slices.Sorted(maps.Keys(all))
}

// hands gives what the car's wires and supply are asked to do now.
func (w *switches) hands(now units.Time) car.Hands {
	h := car.Hands{Inputs: map[string]bool{}, Supply: w.volts(now), Heat: w.heat, Gone: w.gone}
	for _, name := range w.inputs() {
		how, since := w.pressed(name)
		h.Inputs[name] = how == switchOn || w.flash.Lit(now-since)
	}
	return h
}

// volts gives the supply now, within a crank too.
func (w *switches) volts(now units.Time) units.Voltage {
	if now >= w.dipEnds {
		w.dip = nil
	}
	v := w.supply
	for _, l := range w.dip {
		if l.At <= now {
			v = l.Volts
		}
	}
	return v
}

// next gives when the switches change by themselves after now: a flash, or a step of a crank; far when they do not.
func (w *switches) next(now, far units.Time) units.Time {
	for name := range w.latched {
		if how, since := w.pressed(name); how == switchFlash {
			far = min(far, since+w.flash.Turns(now-since))
		}
	}
	for _, l := range w.dip {
		if l.At > now {
			far = min(far, l.At)
		}
	}
	if w.dip != nil && w.dipEnds > now {
		far = min(far, w.dipEnds)
	}
	return far
}
