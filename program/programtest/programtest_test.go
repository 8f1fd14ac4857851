package programtest

import (
	"reflect"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

func TestRandomIsValid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Random(t)
		image, err := program.Encode(p)
		if err != nil {
			t.Fatalf("Encode: %v", err)
		}
		if _, err := program.Decode(image); err != nil {
			t.Fatalf("Decode: %v", err)
		}
		s := RandomSafe(t, p)
		if _, err := program.NewEngineFor(p, s); err != nil {
			t.Fatalf("NewEngineFor: %v", err)
		}
		total := 0
		for _, r := range RandomSamples(t, p, s, 5000) {
			if r.Refreshes < 1 {
				t.Fatalf("a run of %d refreshes", r.Refreshes)
			}
			total += r.Refreshes
		}
		if total != 5000 {
			t.Fatalf("%d refreshes, want 5000", total)
		}
		v := RandomModule(t, p, s)
		v.Runs = RandomSamples(t, p, s, 700)
		var kept [program.MemoryBytes]byte
		var left program.Remnant
		v.Registers, v.Shows, kept, left = v.Play()
		v.Kept, v.Left = &kept, &left
		back, err := vector.Read(v.Format())
		if err != nil || !reflect.DeepEqual(v, back) {
			t.Fatalf("the module reads back differently (%v):\n%s", err, v.Format())
		}
	})
}
