package measure_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"lampwright/proof"
	"lampwright/proof/measure"
)

var rig measure.Rig

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "lampwright-measure-test-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	rig.Cache = dir
	if text := os.Getenv("SOAK"); text != "" {
		if rig.Wide, err = strconv.Atoi(text); err != nil || rig.Wide < 1 {
			fmt.Fprintf(os.Stderr, "SOAK=%q is not a number from 1 on\n", text)
			os.Exit(2)
		}
	}
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// must ends the test when something could not be measured. A machine without the simulator fails: it never skips.
func must[T any](t *testing.T) func(T, error) T {
	return func(got T, err error) T {
		t.Helper()
		var missing *proof.NotProven
		if errors.As(err, &missing) {
			t.Fatalf("this machine must be able to measure: %v", missing)
		}
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
}

// judge prints figures and fails for every goal that is not met.
func judge(t *testing.T, figures []measure.Figure) {
	t.Helper()
	if len(figures) == 0 {
		t.Error("nothing was measured")
	}
	for _, f := range figures {
		if f.Verdict() == measure.NotMet {
			t.Error(f)
		} else {
			t.Log(f)
		}
	}
}

var bg = context.Background()

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		value float64
		goal  measure.Goal
		want  measure.Verdict
	}{
		{5, measure.Goal{}, measure.Reported},
		{5, measure.Goal{Sense: measure.AtMost, Limit: 5}, measure.Met},
		{5.01, measure.Goal{Sense: measure.AtMost, Limit: 5}, measure.NotMet},
		{5, measure.Goal{Sense: measure.Below, Limit: 5}, measure.NotMet},
		{4.99, measure.Goal{Sense: measure.Below, Limit: 5}, measure.Met},
		{5, measure.Goal{Sense: measure.AtLeast, Limit: 5}, measure.Met},
		{4.99, measure.Goal{Sense: measure.AtLeast, Limit: 5}, measure.NotMet},
		{math.NaN(), measure.Goal{Sense: measure.AtMost, Limit: 5}, measure.NotMet},
		{math.NaN(), measure.Goal{Sense: measure.AtLeast, Limit: 5}, measure.NotMet},
	} {
		f := measure.Figure{Value: c.value, Goal: c.goal}
		if got := f.Verdict(); got != c.want {
			t.Errorf("%v: %s, want %s", f, got, c.want)
		}
	}
	for value, want := range map[float64]string{3: "3", 0.12345: "0.1235", 12.345: "12.35", 3000.26: "3000.3", -1.5: "-1.50"} {
		if got := (measure.Figure{Value: value}).Number(); got != want {
			t.Errorf("%v prints as %q, want %q", value, got, want)
		}
	}
}
