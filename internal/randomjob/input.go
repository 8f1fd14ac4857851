package randomjob

import (
	"fmt"
	"slices"
	"strings"

	"lampwright/feed"
	"lampwright/units"

	"pgregory.net/rapid"
)

// input is one input of a document.
type input struct {
	name   string
	low    bool
	shared bool     // it comes on another's wire
	keys   []string // what is written of it
}

// boardInputs is how many input pins a board has.
func boardInputs(board string) int {
	if board == "pins" {
		return 6
	}
	return 8
}

// inputNumbers is how many inputs a program knows, pins or not.
const inputNumbers = 8

// drawInputs draws what comes in: road signals, two switches for shows, and with room for it a switch that bars them.
func (d *draft) drawInputs(t *rapid.T) {
	d.roads = rapid.Permutation([]string{"stop", "tail", "turn-lh", "turn-rh", "reverse"}).Draw(t, "roads")[:rapid.IntRange(2, 4).Draw(t, "signals")]
	if len(d.lamps) == 1 && rapid.IntRange(0, 3).Draw(t, "fed by one wire") == 0 {
		d.only = rapid.SampledFrom([]string{"turn-lh", "turn-rh", "stop", "stop"}).Draw(t, "only")
		d.roads = []string{d.only}
	}
	if d.hands { // both turns or none: what is in3 of one hand is in3 of the other
		lh, rh := slices.Contains(d.roads, "turn-lh"), slices.Contains(d.roads, "turn-rh")
		switch {
		case lh && !rh:
			d.roads = append(d.roads, "turn-rh")
		case rh && !lh:
			d.roads = append(d.roads, "turn-lh")
		}
	}
	names := append(slices.Clone(d.roads), "show-a", "show-b")
	pins := inputNumbers
	for _, l := range d.lamps {
		pins = min(pins, boardInputs(l.board))
	}
	if len(names) < pins && rapid.Bool().Draw(t, "ignition") {
		names = append(names, "ignition")
	}
	free := inputNumbers - len(names)
	shares := slices.Contains(d.roads, "stop") && slices.Contains(d.roads, "tail") && rapid.IntRange(0, 2).Draw(t, "shares") == 0
	feeds := map[string]feed.Feed{}
	lows := map[string]bool{}
	for i, name := range names {
		in := input{name: name}
		f, written := drawFeed(t, name)
		switch {
		case name == "tail" && shares:
			f, written = drawCarrier(t), true
		case name == d.only && f.Dimmed != (feed.Pulses{}):
			f, written = feed.Feed{}, false // too little to live on
		case name == d.only:
			f.Chopped = feed.Chopping{}
		}
		in.low = rapid.IntRange(0, 4).Draw(t, "low") == 0 && name != d.only
		if twin := otherSide(name); d.hands && twin != name {
			if before, drawn := feeds[twin]; drawn { // both hands read the same pin in the same way
				f, in.low = before, lows[twin]
				written = written || f.Kind != feed.Flasher || f != feed.Feed{Kind: feed.Flasher}
			}
			if !written {
				f = feed.Feed{Kind: feed.Flasher}
			}
		}
		feeds[name], lows[name] = f, in.low
		in.shared = name == "stop" && shares
		if in.shared {
			in.keys = append(in.keys, "shares: tail")
			in.low = false
		} else {
			in.keys = append(in.keys, "wire: ["+strings.Join(d.pins(i, name, names), ", ")+"]")
		}
		if in.low {
			in.keys = append(in.keys, "active: low")
		}
		if rapid.IntRange(0, 5).Draw(t, "one tap") == 0 && !in.shared {
			in.keys = append(in.keys, "one-tap: true")
		}
		if written {
			in.keys = append(in.keys, "feed: "+f.Written())
		}
		d.inputs = append(d.inputs, in)
	}
	d.drawStops(t, free, feeds)
	if shares {
		d.mendShared(feeds)
	}
}

// pins gives the pins of an input. In the second of two hands the turns change places.
func (d *draft) pins(i int, name string, names []string) (pins []string) {
	for m := range d.lamps {
		n := i
		if d.hands && m == 1 {
			n = slices.Index(names, otherSide(name))
		}
		pins = append(pins, fmt.Sprintf("m%d.in%d", m, n+1))
	}
	return pins
}

// drawStops lets turn wires light for the stop as well: told apart by the stop, or as they come where nothing tells them apart.
func (d *draft) drawStops(t *rapid.T, free int, feeds map[string]feed.Feed) {
	stop := slices.Contains(d.roads, "stop")
	turns := 0
	for i := range d.inputs {
		if strings.HasPrefix(d.inputs[i].name, "turn-") {
			turns++
		}
	}
	amber := false
	for _, l := range d.lamps {
		for _, p := range l.patterns {
			for _, g := range p.groups {
				amber = amber || g.colour == "amber"
			}
		}
	}
	word := "carries-stop: {}"
	switch {
	case stop && free >= turns:
		word = "carries-stop: {reference: stop}"
	case stop || amber:
		return
	}
	if turns == 0 || rapid.Bool().Draw(t, "turns alone") {
		return
	}
	for i := range d.inputs {
		if name := d.inputs[i].name; strings.HasPrefix(name, "turn-") && stop && !d.keepsUp(feeds[name], feeds["stop"]) {
			return // and both turns alike: hands share their pins
		}
	}
	for i := range d.inputs {
		if strings.HasPrefix(d.inputs[i].name, "turn-") {
			d.inputs[i].keys = append(d.inputs[i].keys, word)
		}
	}
}

// keepsUp tells whether a turn wire and its stop reference are read at so nearly the same time that compile takes them: 20 ms.
func (d *draft) keepsUp(turn, stop feed.Feed) bool {
	if slices.ContainsFunc(d.inputs, func(in input) bool { return in.shared }) {
		return feedApart(turn, feed.SharedFilter, feed.SharedDelay)
	}
	filter, delay, _ := feed.FilterFor(stop, "stop")
	return feedApart(turn, filter, delay)
}

func feedApart(turn feed.Feed, filter feed.Filter, delay feed.Delay) bool {
	own, late, _ := feed.FilterFor(turn, "turn-lh")
	return feed.Apart(own, late, filter, delay) <= 20*units.Millisecond
}

// drawCarrier draws a tail wire on which the stop can come as well.
func drawCarrier(t *rapid.T) feed.Feed {
	f := feed.Feed{Kind: feed.Dimmed, Dimmed: drawPulses(t, 5)}
	if feed.Share(f, feed.Feed{}).HasErrors() || refused(f, "tail") {
		f.Dimmed = feed.Pulses{Duty: units.Share(rapid.IntRange(20, 25).Draw(t, "plain duty")) / 100, At: 200}
	}
	return f
}

// mendShared takes away what the stop of a shared wire does when the tail's cannot be told from it.
func (d *draft) mendShared(feeds map[string]feed.Feed) {
	if !feed.Share(feeds["tail"], feeds["stop"]).HasErrors() {
		return
	}
	for i := range d.inputs {
		if d.inputs[i].shared {
			d.inputs[i].keys = d.inputs[i].keys[:1]
		}
	}
}
