package compile

import (
	"bytes"
	"testing"

	"lampwright/examples"
	"lampwright/kit"
)

// A compilation that is no longer wanted ends wherever it is, with nothing; what it had fitted is of use to the next.
func TestAnUnwantedCompilationEnds(t *testing.T) {
	k, faults := kit.Parse("demo.yaml", examples.Pickup, kit.NoFiles)
	if k == nil {
		t.Fatal(faults)
	}
	fresh, _ := Compile(k, Options{})
	all := 0
	Compile(k, Options{Wanted: func() bool { all++; return true }})
	if all < 100 {
		t.Fatalf("it asks %d times", all)
	}
	var kept Fits
	for stop := 0; stop < all; stop += all/40 + 1 {
		asked := 0
		out, list := Compile(k, Options{Kept: &kept, Wanted: func() bool { asked++; return asked <= stop }})
		if asked <= stop {
			break // it is quicker by what is kept, and so was done before it was unwanted
		}
		if out != nil || list != nil || asked != stop+1 {
			t.Fatalf("unwanted after %d pieces of work of %d, it gives %v %v", stop, asked, out, list)
		}
	}
	if len(kept.tracks) == 0 {
		t.Error("nothing is kept")
	}
	again, _ := Compile(k, Options{Kept: &kept})
	for i, m := range fresh.Modules {
		if !bytes.Equal(m.Image, again.Modules[i].Image) {
			t.Errorf("module %s differs", m.Of.Name)
		}
	}
	defer func() {
		if recover() != "a fault" {
			t.Error("a fault is taken for an end")
		}
	}()
	Compile(k, Options{Wanted: func() bool { panic("a fault") }})
}
