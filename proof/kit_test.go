package proof_test

import (
	"bytes"
	"context"
	"os"
	"testing"
	"time"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/proof"
	"lampwright/script"
)

// job reads and compiles a job file that must be good.
func job(t testing.TB, path string) (*kit.Kit, *compile.Result) {
	t.Helper()
	k, _, faults := kit.Load(path)
	if k == nil {
		t.Fatal(faults)
	}
	return k, compiled(t, k)
}

func compiled(t testing.TB, k *kit.Kit) *compile.Result {
	t.Helper()
	r, faults := compile.Compile(k, compile.Options{})
	if faults.HasErrors() {
		t.Fatal(faults)
	}
	return r
}

// changed reads a job file in which some words are replaced; each must be there.
func changed(t testing.TB, path string, pairs ...string) (*kit.Kit, *compile.Result) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(pairs); i += 2 {
		if !bytes.Contains(text, []byte(pairs[i])) {
			t.Fatalf("%s does not say %q", path, pairs[i])
		}
		text = bytes.ReplaceAll(text, []byte(pairs[i]), []byte(pairs[i+1]))
	}
	k, faults := kit.Parse(path, text, kit.NoFiles)
	if k == nil {
		t.Fatal(faults)
	}
	return k, compiled(t, k)
}

// layerOf finds a layer of a module by the name of its input.
func layerOf(t testing.TB, m *compile.Module, input string) (int, outputs) {
	t.Helper()
	for i, l := range m.Layers {
		if l.Of.Input.Name == input {
			return i, setOf(m.Program.Layers[i].Slots)
		}
	}
	t.Fatalf("module %s has no layer for %s", m.Of.Name, input)
	return 0, 0
}

func moduleOf(t testing.TB, r *compile.Result, name string) int {
	t.Helper()
	for i, m := range r.Modules {
		if m.Of.Name == name {
			return i
		}
	}
	t.Fatalf("there is no module %s", name)
	return 0
}

func timeline(t testing.TB, text string) *script.Timeline {
	t.Helper()
	s, faults := script.Parse("script", []byte(text), nil)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s.Timeline(1)
}

// proven runs a kit under a script and demands a proof of every module.
func proven(t *testing.T, k *kit.Kit, r *compile.Result, presses string, length time.Duration) {
	t.Helper()
	v, err := proof.Trial{Kit: k, Compiled: r, Line: timeline(t, presses), Wires: wires, Length: length, Cache: sharedDir}.Run(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if len(v) != len(k.Modules) {
		t.Fatalf("%d verdicts on %d modules", len(v), len(k.Modules))
	}
	for _, v := range v {
		asleep := int(v.Load.Down / proof.CyclesARefresh)
		if want := int(length/refresh) - asleep; v.Refreshes < want-8 { // it starts in two refreshes, and falls asleep in one
			t.Errorf("%s: only %d refreshes of %d were compared", v.Module, v.Refreshes, want)
		}
		for _, p := range v.Problems() {
			t.Error(p)
		}
	}
	if t.Failed() {
		t.Logf("script: %s", presses)
	}
}

const refresh = 500 * us // proof.CyclesARefresh at 16 MHz
