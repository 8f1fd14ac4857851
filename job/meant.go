package job

import "strings"

// What builders call things for which the document has another word. A word that could mean several things here is left out.

var ends = map[string]string{"back": "rear", "tail": "rear", "nose": "front"}

// Meant tells what is meant by another word.
func (End) Meant() map[string]string { return ends }

var sides = map[string]string{"left": "LH", "right": "RH", "l": "LH", "r": "RH", "center": "centre", "middle": "centre"}

// Meant tells what is meant by another word.
func (Side) Meant() map[string]string { return sides }

var uses = map[string]string{"us": "road-us", "usa": "road-us", "fmvss": "road-us", "un": "road-un", "ece": "road-un", "eu": "road-un", "show": "show-only", "off-road": "show-only"}

// Meant tells what is meant by another word.
func (Use) Meant() map[string]string { return uses }

var feeds = map[string]string{"pwm": "dimmed", "pulsed": "dimmed", "constant": "steady", "flashing": "flasher", "flash": "flasher", "switch": "relay"}

// Meant tells what is meant by another word.
func (FeedKind) Meant() map[string]string { return feeds }

var functions = map[string]string{
	"brake": "stop", "indicator": "turn", "blinker": "turn", "backup": "reverse", "reversing": "reverse",
	"daytime": "drl", "parking": "park", "marker": "side-marker", "rear-fog": "fog",
}

// Meant tells what is meant by another key.
func (*Functions) Meant() map[string]string { return functions }

// roads are inputs: what lights front and rear lamps together is the tail there.
var roads = map[string]string{
	"brake": "stop", "running": "tail", "position": "tail", "parking": "tail", "backup": "reverse", "reversing": "reverse", "daytime": "drl", "rear-fog": "fog",
}

// RoadMeant gives the input of a road signal that is meant by another name, or "".
func RoadMeant(name string) string {
	for _, side := range []struct{ word, input string }{{"left", "turn-lh"}, {"lh", "turn-lh"}, {"right", "turn-rh"}, {"rh", "turn-rh"}} {
		for _, turn := range []string{"turn", "blinker", "indicator"} {
			if name != side.input && (name == turn+"-"+side.word || name == side.word+"-"+turn) {
				return side.input
			}
		}
	}
	for _, end := range []string{"s", "-light", "-lamp"} {
		name = strings.TrimSuffix(name, end)
	}
	return roads[name]
}
