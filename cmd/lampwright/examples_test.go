package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every example job is what a newcomer copies from: in order, without a word from check, and made whole. The demo job's wires are
// those that a survey finds, and may be cautioned. The room for proofs runs each of them on the simulated processor.
func TestExamples(t *testing.T) {
	jobs, err := filepath.Glob("../../examples/*/*.yaml")
	if err != nil || len(jobs) < 9 {
		t.Fatalf("found %d example jobs, want at least 9 (%v)", len(jobs), err)
	}
	for _, job := range jobs {
		t.Run(strings.TrimSuffix(filepath.Base(job), ".yaml"), func(t *testing.T) {
			run := func(args ...string) string {
				t.Helper()
				code, out, errors := call(nil, args...)
				if code != int(ok) {
					t.Fatalf("lampwright %s: status %d\n%s%s", strings.Join(args, " "), code, out, errors)
				}
				return out
			}
			run("fmt", job, "--check")
			said := run("check", job)
			if quiet := strings.Count(said, "\n") == 1; !strings.Contains(said, "nothing stops work") || !quiet && !strings.Contains(job, "pickup") {
				t.Errorf("check says:\n%s", said)
			}
			kit := filepath.Join(t.TempDir(), "kit")
			run("make", job, "-o", kit)
			made, err := filepath.Glob(filepath.Join(kit, "*"))
			if err != nil || len(made) < 6 { // HEX, image and listing of a module, a walk, a summary, a packing list
				t.Errorf("made %v (%v)", made, err)
			}
			if said := run("play", job, "--every", "1s"); !strings.Contains(said, "@") {
				t.Errorf("no LED is wholly on at any second of its tour:\n%s", said)
			}
			text, err := os.ReadFile(job)
			if err != nil {
				t.Fatal(err)
			}
			if comments := strings.Count(string(text), "#"); comments < 3 {
				t.Errorf("%d comments, too few to learn from", comments)
			}
		})
	}
}
