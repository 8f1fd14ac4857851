package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A search for faults that is stopped says so, proves nothing, and prints no half of a result.
func TestFaultsAreStopped(t *testing.T) {
	path := filepath.Join(t.TempDir(), "starter.yaml")
	if err := os.WriteFile(path, starter, 0o644); err != nil {
		t.Fatal(err)
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	code, out, errors := call(func(e *env) { e.ctx = stopped }, "prove", path, "--faults", "--quick")
	if code != int(lacking) || out != "" || !strings.Contains(errors, "the proof was stopped before its end: nothing is proven") {
		t.Errorf("status %d\n%s%s", code, out, errors)
	}
}

// Without a road signal there is nothing to try, and that is no success.
func TestFaultsNeedARoadSignal(t *testing.T) {
	path := filepath.Join(t.TempDir(), "show.yaml")
	job := `lampwright: 1
job: {title: Show, use: show-only}
lamps:
  bar:
    place: {end: rear, side: centre, at: [0 mm, 900 mm]}
    outline: [[0, 0], [50, 0], [50, 20], [0, 20]]
    leds:
      - row: {name: g, from: [5, 10], to: [45, 10], count: 5, group: 1, part: red-622}
modules:
  m: {board: chain-8, lamp: bar, wiring: {g: 1..5}}
inputs:
  button: {wire: m.in1}
routines:
  full: {strokes: [{hold: {on: g, light: 100 %}}]}
shows:
  - night: {input: button, takes: g, stay: full, limit: 1 h}
`
	if err := os.WriteFile(path, []byte(job), 0o644); err != nil {
		t.Fatal(err)
	}
	code, out, errors := call(nil, "prove", path, "--faults", "--quick")
	if code != int(found) || out != "" || !strings.Contains(errors, "nothing that a fault could take") || !strings.Contains(errors, "next: wire an input stop") {
		t.Errorf("status %d\n%s%s", code, out, errors)
	}
}
