package randomjob

import (
	"testing"

	"lampwright/kit"
	"lampwright/script"

	"pgregory.net/rapid"
)

// Every drawn job is a document without faults: a generator that draws broken jobs would test little.
func TestDrawnJobsResolve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, draw := range []func(*rapid.T) string{Job, Pair} {
			text := draw(t)
			if k, list := kit.Parse("random.yaml", []byte(text), kit.NoFiles); k == nil {
				t.Fatalf("%v\n%s", list, text)
			}
		}
	})
}

func TestDrawnScriptsAreSound(t *testing.T) {
	inputs := []string{"stop", "turn-lh", "show-a"}
	rapid.Check(t, func(t *rapid.T) {
		text := Script(t, inputs, rapid.IntRange(10, 4000).Draw(t, "length ms"))
		if _, faults := script.Parse("random", []byte(text), inputs); len(faults) > 0 {
			t.Fatalf("%v\n%s", faults, text)
		}
	})
}
