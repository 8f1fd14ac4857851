package compile

import (
	"bytes"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lampwright/internal/randomjob"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
)

// A random job is compiled whole, or refused for a limit of the module and for nothing else; and always to the same bytes.
func TestRandomJobsCompile(t *testing.T) {
	limits := []string{"limit", "busy-frame", "busy-tick", "turn-fed"}
	drawn, refused := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.SampledFrom([]func(*rapid.T) string{randomjob.Job, randomjob.Pair}).Draw(t, "kind")
		text := draw(t)
		k, list := kit.Parse("random.yaml", []byte(text), kit.NoFiles)
		if k == nil {
			t.Fatalf("%v\n%s", list, text)
		}
		drawn++
		r, list := Compile(k, Options{})
		if list.HasErrors() {
			refused++
			for _, d := range list {
				if d.Severity == report.StopWork && !slices.Contains(limits, d.ID) {
					t.Fatalf("%v\n%s", d, text)
				}
			}
			return
		}
		again, _ := Compile(k, Options{})
		for i, m := range r.Modules {
			p, err := program.Decode(m.Image)
			if err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
			if (p.Other != nil) != (m.Twin != nil) || m.Twin != nil && (!bytes.Equal(m.Image, m.Twin.Image) || *m.Safe != *m.Twin.Safe) {
				t.Fatalf("module %s does not share its image as it should\n%s", m.Of.Name, text)
			}
			if other := again.Modules[i]; !bytes.Equal(m.Image, other.Image) || *m.Safe != *other.Safe || m.Listing() != other.Listing() {
				t.Fatalf("module %s differs between two runs\n%s", m.Of.Name, text)
			}
			if _, err := program.NewEngineFor(m.Program, m.Safe); err != nil {
				t.Fatalf("%v\n%s", err, text)
			}
		}
	})
	if t.Logf("%d of %d random jobs were refused for their limits", refused, drawn); refused*8 > drawn {
		t.Errorf("%d of %d random jobs were refused", refused, drawn)
	}
}
