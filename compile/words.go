package compile

import (
	"fmt"
	"math/bits"
	"strings"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
)

// Words tells what a module does beside its signals and shows, one line each: how it is fed, what its plug must say, the limits that
// guard it, the wires that it tells apart, and the loads that it switches.
func (m *Module) Words() (lines []string) {
	say := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	p := m.Program
	m.feedWords(say)
	if p.SideByStrap {
		say("the strap in its plug must say %s; in another plug, or without a strap, it shows plain road signals and no shows", m.Of.Lamp.Place.Side)
	}
	if m.Twin != nil {
		say("one image for both hands, with module %s: %d bytes, %d apart", m.Twin.Of.Name, m.imageBytes(), m.ApartBytes())
	}
	for _, l := range m.Limits {
		say("%v", l)
	}
	if p.SleepAfter > 0 {
		say("sleeps after %.1f s of nothing asked", m.SleepSeconds())
	}
	if p.Live {
		say("takes streamed light over its serial pins; road signals stay above it, shows end for it")
	}
	for _, t := range m.Safe.StopTurn {
		if t.Used {
			say("in%d lights for the stop as well: told apart by in%d, its turn is read as in%d, %s later", t.Wire+1, t.Reference+1, t.Turn+1, feed.ToldApart)
		}
	}
	for _, mask := range m.plainCarriers() {
		say("in%d lights for the stop as well, and is shown as it comes", bits.TrailingZeros8(mask)+1)
	}
	for _, l := range m.Layers {
		if l.Outage != nil {
			say("out%d %s", l.Outage.Output+1, loadWords(l.Outage))
		}
	}
	return lines
}

// SleepSeconds is after how long of nothing asked the module sleeps, s; 0: never.
func (m *Module) SleepSeconds() float64 {
	return float64(m.Program.SleepAfter) * program.SleepUnitFrames * program.FrameMS / 1000
}

func (m *Module) feedWords(say func(format string, args ...any)) {
	fed := m.Of.Fed
	switch {
	case fed.Only != nil && m.Program.TurnFed:
		say("fed by the wire of %s alone: with every flash its turn waits %d ms for the check of its image", fed.Only.Name, checkMS(m.imageBytes()))
		say("what it learns of the flasher needs a board whose RAM lives through the pauses: docs/boards/around.md, supply")
	case fed.Only != nil && fed.Only.CarriesStop:
		say("fed by the wire of %s alone: that may be the brake, so it lights at once and does not wait for the check of its image", fed.Only.Name)
	case fed.Only != nil:
		say("fed by the wire of %s alone", fed.Only.Name)
	case len(fed.Also) > 0:
		say("fed through fuse %s, and through diodes by %s", fed.Fuse, listed(fed.Also))
	case fed.Fuse != "":
		say("fed through fuse %s", fed.Fuse)
	}
}

// plainCarriers gives the wires of a module that light for the stop as well and have no reference.
func (m *Module) plainCarriers() (masks []uint8) {
	seen := uint8(0)
	for _, l := range m.Layers {
		if in := l.Of.Input; in.CarriesStop && in.Reference == nil {
			if mask := m.Of.InputPins(in); mask&^seen != 0 {
				masks, seen = append(masks, mask), seen|mask
			}
		}
	}
	return masks
}

// loadWords tells what a load is for.
func loadWords(o *kit.Outage) string {
	while := "as long as it is on"
	if o.Window > 0 {
		while = fmt.Sprintf("for %s after it came on", o.Window)
	}
	finds := map[kit.OutageKind]string{
		kit.Message: "tells of a dead lamp", kit.FlashRate: "flashes faster", kit.ShutOff: "switches the wire off",
	}[o.Kind]
	only := ""
	if o.Sense != nil {
		only = fmt.Sprintf("; only while %s is on", o.Sense.Name)
	}
	return fmt.Sprintf("switches a load of %s on the wire of %s %s: below %s the car %s%s", o.Load, o.Input.Name, while, o.Threshold, finds, only)
}

// listed joins the names of inputs.
func listed(inputs []*kit.Input) string {
	var names []string
	for _, in := range inputs {
		names = append(names, in.Name)
	}
	if last := len(names) - 1; last > 0 {
		return strings.Join(names[:last], ", ") + " and " + names[last]
	}
	return strings.Join(names, "")
}
