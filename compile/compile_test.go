package compile

import (
	"testing"

	"lampwright/kit"
)

func TestX(t *testing.T) {
	k, _, list := kit.Load("../examples/pickup/pickup.yaml")
	if k == nil {
		t.Fatal(list)
	}
	r, more := Compile(k, Options{})
	t.Log(list, more)
	for _, m := range r.Modules {
		t.Log(m.Of.Name, len(m.Image), m.Fades, m.Moving)
		for i, l := range m.Layers {
			t.Log("  ", l.Of.Name, m.Program.Layers[i].Still, m.Program.Layers[i].Fast, l.Moved)
			for _, r := range l.Routines {
				t.Logf("      %s %d bytes %d fades, %d ticks, %.3f, %.1f %.1f", r.Part, len(r.Code.Code), r.Fades, r.Code.Ticks, r.WorstError, r.FrameRatio(), r.TrackRatio())
			}
		}
	}
}

func BenchmarkX(b *testing.B) {
	k, _, _ := kit.Load("../examples/pickup/pickup.yaml")
	for b.Loop() {
		Compile(k, Options{})
	}
}
