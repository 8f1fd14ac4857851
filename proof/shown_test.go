package proof_test

import (
	"context"
	"slices"
	"testing"

	"lampwright/flash"
	"lampwright/proof"
)

// A damaged module's differences come as stretches of time with the light that was promised and what was found, in order, all of them
// within the trial, and each names outputs that truly differ.
func TestDifferencesAreShownAsLight(t *testing.T) {
	trial := demoTrial(t, "turn-rh@100ms..700ms stop@200ms..600ms", 800*ms)
	setups, err := trial.Setups()
	if err != nil {
		t.Fatal(err)
	}
	setups[0].Events = append(setups[0].Events, proof.FlashXor(0, 1, flash.ImageStart+60, 4))
	tol := proof.Core
	tol.Listed = 4000
	verdicts, err := proof.Judged(context.Background(), setups[0], tol)
	if err != nil {
		t.Fatal(err)
	}
	if len(verdicts[0].Shown) > 0 {
		t.Errorf("the undamaged module shows %v", verdicts[0].Shown)
	}
	shown := verdicts[1].Shown
	if len(shown) == 0 {
		t.Fatal("nothing is shown of a damaged module")
	}
	last := shown[0].From
	for _, s := range shown {
		if s.Module != "right" || s.From < last || s.To <= s.From || s.To > 801*ms || s.Refreshes < 1 {
			t.Errorf("%s from %v to %v, %d refreshes, after %v", s.Module, s.From, s.To, s.Refreshes, last)
		}
		last = s.From
		for _, o := range s.Outputs {
			if o.Promised == o.Found || o.Promised != s.Promised[o.Output-1] || o.Found != s.Found[o.Output-1] {
				t.Errorf("output %d: promised %v, found %v; in the picture %v and %v", o.Output, o.Promised, o.Found, s.Promised[o.Output-1], s.Found[o.Output-1])
			}
		}
		if len(s.Outputs)+len(s.Others) == 0 {
			t.Error("a stretch without a difference")
		}
	}
	// With its image damaged the module serves from its safe block: the turn comes without its sweep, and some output lights that waits in the promise.
	if !slices.ContainsFunc(shown, func(s proof.Shown) bool {
		return slices.ContainsFunc(s.Outputs, func(o proof.OutputShown) bool { return o.Promised < 0.01 && o.Found > 0.9 })
	}) {
		t.Errorf("no output is lit that should wait: %+v", shown)
	}
}

// A trial tells which modules run and how far they are.
func TestTrialTellsItsRuns(t *testing.T) {
	trial := demoTrial(t, "tail@0s..1s", 300*ms)
	var last proof.Running
	trial.Running = func(at proof.Running) {
		if at.Done < last.Done || at.Length != 300*ms || at.Run != 0 || at.Runs != 1 || !slices.Equal(at.Modules, []string{"left", "right"}) {
			t.Errorf("%+v after %+v", at, last)
		}
		last = at
	}
	if _, err := trial.Run(context.Background()); err != nil || last.Done != 300*ms {
		t.Fatalf("%v, last %+v", err, last)
	}
}
