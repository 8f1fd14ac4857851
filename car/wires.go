package car

import (
	"fmt"
	"slices"
	"sort"

	"lampwright/feed"
	"lampwright/kit"
	"lampwright/script"
	"lampwright/units"
)

// asks gives when each wire asks, in the order of the kit's inputs; nil for an input without a wire of its own. A wire that is chopped
// above a supply is pulsed while the supply is above it.
func asks(k *kit.Kit, line *script.Timeline, supply []script.Level, until units.Time, c feed.Conditions) [][]feed.Edge {
	waves := map[string][][]feed.Edge{} // by the wires that are chopped
	out := make([][]feed.Edge, len(k.Inputs))
	for n, level := range supply {
		key := chopped(k, level.Volts)
		wave, made := waves[key]
		if !made {
			c.Supply = level.Volts
			wave = edges(k, k.Wire(line, until, c))
			waves[key] = wave
		}
		end := until + 1
		if n+1 < len(supply) {
			end = supply[n+1].At
		}
		for i := range wave {
			out[i] = join(out[i], wave[i], level.At, end)
		}
	}
	return out
}

// chopped names the wires that are chopped at a supply.
func chopped(k *kit.Kit, volts units.Voltage) (key string) {
	for i, in := range k.Inputs {
		if above := in.Feed.Chopped.Above; above > 0 && volts > above {
			key += fmt.Sprint(i, " ")
		}
	}
	return key
}

// edges parts the events of all wires, in the order of the kit's inputs.
func edges(k *kit.Kit, events []script.Event) [][]feed.Edge {
	all := make([][]feed.Edge, len(k.Inputs))
	for i, in := range k.Inputs {
		for _, e := range events {
			if e.Input == in.Name {
				all[i] = append(all[i], feed.Edge{At: e.At, High: e.On})
			}
		}
	}
	return all
}

// join adds what a wave does from one time up to another.
func join(to, wave []feed.Edge, from, end units.Time) []feed.Edge {
	next := sort.Search(len(wave), func(n int) bool { return wave[n].At > from })
	to = edge(to, from, next > 0 && wave[next-1].High)
	for ; next < len(wave) && wave[next].At < end; next++ {
		to = edge(to, wave[next].At, wave[next].High)
	}
	return to
}

// edge adds a level from a time on.
func edge(to []feed.Edge, at units.Time, high bool) []feed.Edge {
	if n := len(to); n == 0 && !high || n > 0 && to[n-1].High == high {
		return to
	}
	return append(to, feed.Edge{At: at, High: high})
}

// wireOf gives the index of the input on whose wire an input comes.
func wireOf(k *kit.Kit, in *kit.Input) int {
	if in.Shares != nil {
		in = in.Shares
	}
	return slices.Index(k.Inputs, in)
}
