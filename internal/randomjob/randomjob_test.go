package randomjob

import (
	"testing"

	"lampwright/kit"

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
