package randomjob

import (
	"fmt"
	"strings"

	"pgregory.net/rapid"
)

// Script draws a script of presses, at most so many ms long, over the named inputs: held, short, flashing and bouncing.
// Every draw is a script without fault.
func Script(t *rapid.T, inputs []string, lengthMS int) string {
	var words []string
	free := map[string]int{} // when each input is free again, ms
	for range rapid.IntRange(1, 8).Draw(t, "presses") {
		in := rapid.SampledFrom(inputs).Draw(t, "input")
		from := free[in] + rapid.IntRange(0, lengthMS/3).Draw(t, "from")
		to := from + rapid.IntRange(1, lengthMS/2).Draw(t, "held")
		if to > lengthMS {
			continue
		}
		free[in] = to + 40
		word := fmt.Sprintf("%s@%dms..%dms", in, from, to)
		if strings.HasPrefix(in, "turn") && rapid.Bool().Draw(t, "flashes") {
			rate, share := rapid.IntRange(60, 120).Draw(t, "rate"), rapid.IntRange(40, 60).Draw(t, "on")
			if rate*(to-from) > 600*share { // longer than one flash
				word += fmt.Sprintf("~%d/min:%d%%", rate, share)
			}
		} else if bounce := rapid.IntRange(-6, 6).Draw(t, "bounce"); bounce > 0 && bounce < to-from {
			word += fmt.Sprintf("!%dms", bounce)
		}
		words = append(words, word)
	}
	return strings.Join(words, " ")
}
