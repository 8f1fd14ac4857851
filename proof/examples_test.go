package proof_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"lampwright/kit"
)

const demoJob = "../examples/pickup/pickup.yaml"

// examples gives the demo job and every example lamp.
func examples(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob("../examples/lamps/*.yaml")
	if err != nil || len(paths) < 5 {
		t.Fatalf("%d example lamps found (%v)", len(paths), err)
	}
	return append(paths, demoJob)
}

// tours presses every input in several orders, each overlapping the next, all contacts bouncing and turn signals flashing,
// and all at once in the end.
func tours(k *kit.Kit) []string {
	var names []string
	for _, in := range k.Inputs {
		names = append(names, in.Name)
	}
	backwards, inward := slices.Clone(names), []string{}
	slices.Reverse(backwards)
	for i := range names {
		inward = append(inward, names[(i*2+1)%len(names)], names[len(names)-1-i])
	}
	var all []string
	for n, order := range [][]string{names, backwards, inward} {
		var words []string
		free := map[string]time.Duration{}
		press := func(name string, from, held time.Duration) {
			from = max(from, free[name])
			to := from + held
			free[name] = to + 60*ms
			flash := ""
			if strings.HasPrefix(name, "turn-") {
				flash = fmt.Sprintf("~%d/min:%d%%", 80+15*n, 45+5*n)
			}
			words = append(words, fmt.Sprintf("%s@%dms..%dms%s!%dms", name, from/ms, to/ms, flash, 2+n))
		}
		at := time.Duration(40+13*n) * ms
		for _, name := range order {
			press(name, at, 1100*ms)
			at += 370 * ms
		}
		for i, name := range order {
			press(name, at+1300*ms, time.Duration(max(1500-120*i, 100))*ms)
		}
		all = append(all, strings.Join(words, " "))
	}
	return all
}

func proveTours(t *testing.T, path string) {
	t.Helper()
	k, r := job(t, path)
	for _, presses := range tours(k) {
		proven(t, k, r, presses, time.Duration(timeline(t, presses).End())*us+300*ms)
	}
}

func TestDemoJob(t *testing.T) {
	t.Parallel()
	proveTours(t, demoJob)
}

func TestExampleLamps(t *testing.T) {
	t.Parallel()
	for _, path := range examples(t) {
		if path != demoJob {
			t.Run(filepath.Base(path), func(t *testing.T) { proveTours(t, path) })
		}
	}
}
