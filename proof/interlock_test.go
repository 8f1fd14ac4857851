package proof_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// orders gives every order of switching n things on and off again, each on before it is off: the things by index, each twice.
func orders(n int) (all [][]int) {
	var walk func(so []int, left []int)
	walk = func(so []int, left []int) {
		done := true
		for i, l := range left {
			if l > 0 {
				done = false
				next := slices.Clone(left)
				next[i]--
				walk(append(slices.Clone(so), i), next)
			}
		}
		if done {
			all = append(all, so)
		}
	}
	left := make([]int, n)
	for i := range left {
		left[i] = 2
	}
	walk(nil, left)
	return all
}

// switched writes an order as presses, step apart, from a time on; and what is on after each step.
func switched(names []string, order []int, from, step time.Duration) (text string, on [][]bool) {
	since := make([]time.Duration, len(names))
	now := make([]bool, len(names))
	var words []string
	for n, i := range order {
		at := from + time.Duration(n)*step
		if now[i] = !now[i]; now[i] {
			since[i] = at
		} else {
			words = append(words, fmt.Sprintf("%s@%dus..%dus", names[i], since[i]/us, at/us))
		}
		on = append(on, slices.Clone(now))
	}
	return strings.Join(words, " "), on
}

// A show that is barred while an input is on, or unless another is, in every order of switching the three: it runs when it is asked for and
// not barred, and one that was barred while it was asked for waits to be asked for anew. No other layer minds.
func TestInterlocksInEveryOrder(t *testing.T) {
	t.Parallel()
	const step = 60 * ms
	const look = 35 * ms // after a step: filters and frames are over
	names := []string{"switch", "ignition", "parked"}
	for what, bars := range map[string]string{
		"not-while":  "not-while: ignition",
		"only-while": "only-while: parked",
		"both":       "not-while: ignition, only-while: parked",
	} {
		k, r := aCar(t, "- glow: {input: switch, stay: glow}", "- glow: {input: switch, stay: glow, "+bars+"}")
		driven(t, func(t *testing.T, drive drive) {
			var text []string
			var want []bool // after each step
			at := 300 * ms
			for n, order := range orders(len(names)) {
				if n%6 > 0 && strings.Contains(t.Name(), "HEX") {
					continue // the engine, which the HEX is judged by, takes them all
				}
				presses, on := switched(names, order, at, step)
				text = append(text, presses)
				spent := false
				for _, now := range on {
					asked, barred := now[0], strings.Contains(bars, "not-while") && now[1] || strings.Contains(bars, "only-while") && !now[2]
					spent = asked && (spent || barred)
					want = append(want, asked && !barred && !spent)
				}
				at += time.Duration(len(order)) * step
			}
			count := tally{}
			drive(t, k, r, strings.Join(text, " ")+" stop@100ms.."+fmt.Sprint(at), func(i int, v seen) {
				n := int((v.at - 300*ms) / step)
				if v.at < 300*ms || n >= len(want) || (v.at-300*ms)%step < look {
					return
				}
				lit := v.lit&carEdge == carEdge
				if lit != want[n] {
					t.Errorf("%s, module %d at %v, after step %d: the show is lit: %v", what, i, v.at, n, lit)
				}
				if carBlock&^v.full != 0 {
					t.Errorf("%s, module %d at %v: the stop is not full", what, i, v.at)
				}
				count[fmt.Sprint("lit: ", lit)]++
			})
			count.least(t, 300, "lit: true", "lit: false")
		})
	}
}
