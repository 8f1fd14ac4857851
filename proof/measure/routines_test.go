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

// examples compiles every job that comes with the source.
func examples(t *testing.T) map[string]*compile.Result {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root, "examples/*/*.yaml"))
	if err != nil || len(files) < 2 {
		t.Fatalf("%d example jobs, %v", len(files), err)
	}
	all := map[string]*compile.Result{}
	for _, f := range files {
		k, _, faults := kit.Load(f)
		if k == nil {
			t.Fatal(faults)
		}
		r, faults := compile.Compile(k, compile.Options{})
		if faults.HasErrors() {
			t.Fatal(faults)
		}
		all[filepath.Base(f)] = r
	}
	return all
}

// Below two whole steps of duty a held level would flicker at 250 Hz: every level that a compiled routine holds has duty 0, 8, 16 or
// more. So it is in the examples and in random jobs, and low levels do come up.
func TestHeldLevelsDoNotFlicker(t *testing.T) {
	for name, r := range examples(t) {
		h := must[measure.Held](t)(measure.HeldLevels(r))
		judge(t, h.Figures(name))
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
	for name, r := range examples(t) {
		e := must[measure.LevelError](t)(measure.LevelErrors(r))
		judge(t, e.Figures(name))
		if e.Routines == 0 && name == "pickup.yaml" || e.Dark > 9.5 {
			t.Errorf("%s: %+v", name, e)
		}
	}
}
