package measure_test

import (
	"path/filepath"
	"testing"

	"lampwright/compile"
	"lampwright/internal/randomjob"
	"lampwright/kit"
	"lampwright/proof/measure"

	"pgregory.net/rapid"
)

type example struct {
	name     string
	compiled *compile.Result
}

// examples compiles every job that comes with the source.
func examples(t *testing.T) (all []example) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root, "examples/*/*.yaml"))
	if err != nil || len(files) < 2 {
		t.Fatalf("%d example jobs, %v", len(files), err)
	}
	for _, f := range files {
		k, _, faults := kit.Load(f)
		if k == nil {
			t.Fatal(faults)
		}
		r, faults := compile.Compile(k, compile.Options{})
		if faults.HasErrors() {
			t.Fatal(faults)
		}
		all = append(all, example{filepath.Base(f), r})
	}
	return all
}

// Below two whole steps of duty a held level would flicker at 250 Hz: every level that a compiled routine holds has duty 0, 8, 16 or
// more. So it is in the examples and in random jobs, and low levels do come up.
func TestHeldLevelsDoNotFlicker(t *testing.T) {
	for _, e := range examples(t) {
		h := must[measure.Held](t)(measure.HeldLevels(e.compiled))
		judge(t, h.Figures(e.name))
	}
	steps := 0
	rapid.Check(t, func(t *rapid.T) {
		k, faults := kit.Parse("random.yaml", []byte(randomjob.Job(t)), kit.NoFiles)
		if k == nil {
			t.Fatal(faults)
		}
		r, faults := compile.Compile(k, compile.Options{})
		if faults.HasErrors() {
			t.Skip("refused for a limit of the module")
		}
		h, err := measure.HeldLevels(r)
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range h.Broken {
			t.Error(b)
		}
		steps += h.Low[8]
	})
	if steps == 0 {
		t.Error("no random job holds a level of one whole step: nothing was rounded")
	}
}

// The examples' compiled routines, replayed and compared with the light that was asked for, sampled anew.
func TestLevelErrorByReplay(t *testing.T) {
	for _, e := range examples(t) {
		l := must[measure.LevelError](t)(measure.LevelErrors(e.compiled))
		judge(t, l.Figures(e.name))
		if l.Routines == 0 && e.name == "pickup.yaml" || l.Dark > 9.5 { // a rest is moved by half the way from 0 to 18 at most
			t.Errorf("%s: %+v", e.name, l)
		}
	}
}
