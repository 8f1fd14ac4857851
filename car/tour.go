package car

import (
	"strings"

	"lampwright/kit"
	"lampwright/script"
	"lampwright/units"
)

// How Tour presses: when it begins, how long each input is on, and the pause after it.
const (
	tourStart = 500 * units.Millisecond // the largest image, 22400 bytes of which a frame takes 256, is checked in 352 ms
	tourPress = 3 * units.Second
	tourPause = units.Second
	tourRate  = 90_000 // thousandths of a flash a minute: within every market's 60 to 120 (UN R48, 6.5.9; FMVSS 108, S14.9 by way of SAE J590, from memory)
	tourShare = 500    // on half of the time
)

// Tour presses every input in its turn, turn signals flashing, and in the end all road signals at once.
func Tour(k *kit.Kit) script.Script {
	var s script.Script
	at := tourStart
	press := func(in *kit.Input, from, to units.Time) {
		p := script.Press{Input: in.Name, From: from, To: to}
		if strings.HasPrefix(in.Road, "turn-") {
			p.Flash = script.Flash{Rate: tourRate, Share: tourShare}
		}
		s.Presses = append(s.Presses, p)
	}
	for _, in := range k.Inputs {
		press(in, at, at+tourPress)
		at += tourPress + tourPause
	}
	for _, in := range k.Inputs {
		if in.Road != "" {
			press(in, at, at+tourPress)
		}
	}
	return s
}
