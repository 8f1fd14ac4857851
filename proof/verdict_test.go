package proof_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"lampwright/flash"
	"lampwright/proof"
)

func demoTrial(t *testing.T, presses string, length time.Duration) proof.Trial {
	t.Helper()
	k, r := job(t, "../examples/lamps/strip.yaml")
	return proof.Trial{Kit: k, Compiled: r, Line: timeline(t, presses), Wires: wires, Length: length, Cache: sharedDir}
}

// A module that does anything else than its HEX says fails, and only that module.
func TestVerdictFindsADamagedModule(t *testing.T) {
	trial := demoTrial(t, "turn-rh@100ms..700ms stop@200ms..600ms", 800*ms)
	for name, c := range map[string]struct {
		event proof.Event
		want  string
	}{
		"image": {proof.FlashXor(0, 1, flash.ImageStart+60, 4), "module right, refresh"},
		"start": {proof.FlashWord(300*ms, 1, 0, 0xCFFF), ""}, // rjmp to itself at the reset vector: nothing comes of it until a reset
		"reset": {proof.Reset(300*ms, 1), ""},                // from outside: the module starts anew, as its model does
		"core":  {proof.FlashXor(300*ms, 1, 0x2C, 0xFF), "module right"},
	} {
		setups, err := trial.Setups()
		if err != nil {
			t.Fatal(err)
		}
		setups[0].Events = append(setups[0].Events, c.event)
		verdicts, err := proof.Judged(context.Background(), setups[0], proof.Core)
		if err != nil {
			t.Fatal(err)
		}
		left, right := verdicts[0], verdicts[1]
		if !left.Proven() {
			t.Errorf("%s: the undamaged module fails: %v", name, left.Problems())
		}
		problems := strings.Join(right.Problems(), "\n")
		if right.Proven() != (c.want == "") || !strings.Contains(problems, c.want) {
			t.Errorf("%s: proven %v, want problems with %q: %s", name, right.Proven(), c.want, problems)
		}
	}
}

// A watchdog restart is no proof, even though the model starts anew too.
func TestVerdictCountsWatchdogRestarts(t *testing.T) {
	s := setup(400*ms, list(chain(t)), proof.Input(100*ms, 0, 5, true)) // chain.c hangs while in5 is high
	verdicts, err := proof.Judged(context.Background(), s, proof.Tolerance{Listed: 1_000_000})
	if err != nil {
		t.Fatal(err)
	}
	if v := verdicts[0]; v.Proven() || v.Restarts == 0 || !strings.Contains(strings.Join(v.Problems(), "\n"), "the watchdog restarted it") {
		t.Fatalf("%d restarts, proven %v", v.Restarts, v.Proven())
	}
}

// Where the simulator cannot run, the result says so and is no proof; and a stop from outside is an error of its own.
func TestTrialThatCannotRun(t *testing.T) {
	trial := demoTrial(t, "tail@0s..1s", 100*ms)
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if v, err := trial.Run(stopped); !errors.Is(err, context.Canceled) || v != nil {
		t.Errorf("stopped: %v, %v", v, err)
	}
	t.Setenv("PATH", t.TempDir())
	trial.Cache = t.TempDir()
	v, err := trial.Run(context.Background())
	var missing *proof.NotProven
	if !errors.As(err, &missing) || v != nil || missing.Install == "" {
		t.Errorf("without a compiler: %v, %v", v, err)
	}
}

func TestTrialTellsProgress(t *testing.T) {
	trial := demoTrial(t, "tail@0s..1s", 500*ms)
	var last time.Duration
	calls := 0
	trial.Progress = func(done, length time.Duration) {
		if calls++; done < last || length != 500*ms {
			t.Errorf("progress %v of %v after %v", done, length, last)
		}
		last = done
	}
	verdicts, err := trial.Run(context.Background())
	if err != nil || len(verdicts) != 2 || calls < 2 || last != 500*ms {
		t.Fatalf("%v, %d verdicts, %d calls, last %v", err, len(verdicts), calls, last)
	}
}
