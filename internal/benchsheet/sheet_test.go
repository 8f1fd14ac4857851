package main

import (
	"context"
	"os"
	"testing"

	"lampwright/flash"
	"lampwright/proof/measure"
)

// The jobs whose growth is timed are all jobs that a module holds, and what is timed ends in a HEX file.
func TestTimedJobsEndInHEX(t *testing.T) {
	for _, job := range [][]byte{panelJob(1000, 15, 4), panelJob(16_000, 15, 4), panelJob(600, 5, 1), panelJob(600, 5, 16)} {
		hex, err := toHEX("panel.yaml", job)
		if err != nil {
			t.Fatal(err)
		}
		if len(hex) != 1 {
			t.Fatalf("%d modules", len(hex))
		}
		if m, err := flash.ReadHEX(hex[0]); err != nil || len(m) == 0 || m[len(m)-1].End() <= flash.ImageStart {
			t.Errorf("the HEX holds no image: %v", err)
		}
	}
}

// The demo job's figures of size have one line for each moving routine and one for each show, and its goals are met.
func TestShowsAreTwentyTimesSmallerThanFrames(t *testing.T) {
	t.Chdir("../..")
	text, err := os.ReadFile(measure.DemoJob)
	if err != nil {
		t.Fatal(err)
	}
	if hex, err := toHEX(measure.DemoJob, text); err != nil || len(hex) != 5 {
		t.Fatalf("%d modules, %v", len(hex), err)
	}
	list, err := size(context.Background(), measure.Rig{})
	if err != nil {
		t.Fatal(err)
	}
	judged := 0
	for _, f := range list {
		if f.Goal.Sense != measure.None {
			judged++
		}
		if f.Verdict() == measure.NotMet {
			t.Error(f)
		}
	}
	if judged != 3 || len(list) < 10 {
		t.Errorf("%d figures, %d of them judged, want two shows and all together", len(list), judged)
	}
}
