package compile

import (
	"fmt"

	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
)

// outages makes a layer for every load that a module switches for the car's lamp check: a signal of the wire that the car
// checks, which lights nothing.
func (c *compiler) outages(m *kit.Module) (all []compiledLayer) {
	for _, o := range c.kit.Outages {
		switch {
		case o.Module != m:
		case o.Window > 0 && m.Fed.Only == o.Input:
			c.list.Add(report.Errorf("outage", o.At, "the load of %q would never be switched", o.Name).
				Because("module %q comes to life with the wire of %s, so to it that wire has always been on, and the window is past", m.Name, o.Input.Name).
				See(m.Fed.At, "its feed").Do("leave window: out, or feed the module from the battery"))
		default:
			all = append(all, outage(m, o))
		}
	}
	return all
}

// outage makes the layer of a load: drawn for the window from the moment at which the wire comes on, or as long as it is on. The
// wire counts as it comes, also where stop and turn are told apart on it.
func outage(m *kit.Module, o *kit.Outage) compiledLayer {
	l := &program.Layer{Name: o.Name, Pace: -1, InputMask: m.InputPins(o.Input), Slots: []uint8{uint8(o.Output)}}
	facts := &Layer{Of: &kit.Layer{Name: o.Name, Input: o.Input, At: o.At}, Outage: o}
	if o.Sense != nil {
		l.OnlyWhile = reads(m, o.Sense)
	}
	if o.Window == 0 {
		l.Still = []uint8{program.FullLevel}
		return compiledLayer{l, facts}
	}
	window := max(int(frames(o.Window.Milliseconds()))-1, 1) // the frame in which it has ended shows it once more
	l.Arrive = facts.plays("arrive", []event{{level: program.FullLevel}}, window)
	l.Stay = facts.plays("stay", nil, 1)
	return compiledLayer{l, facts}
}

// plays makes a routine of one output.
func (l *Layer) plays(part string, events []event, ticks int) *program.Routine {
	code, err := encode(events, ticks, false)
	if err != nil {
		panic(fmt.Sprintf("compile: %s of a load: %v", part, err)) // a fade at the most, and a wait
	}
	l.Routines = append(l.Routines, &Routine{
		Part: part, Code: code, Fades: len(events), begins: begins(events), FrameBytes: frameBytes(ticks, 1), TrackBytes: trackBytes(len(events), 1),
	})
	return code
}
