package proof_test

import (
	"context"
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
	v, err := proof.Trial{Kit: k, Compiled: r, Line: timeline(t, presses), Length: length, Cache: sharedDir}.Run(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if len(v) != len(k.Modules) {
		t.Fatalf("%d verdicts on %d modules", len(v), len(k.Modules))
	}
	for _, v := range v {
		if want := int(length / refresh); v.Refreshes < want-4 {
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
