package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The wires that docs/job.md shows stand in a job that checks clean of errors.
func TestWiresOfTheJobPage(t *testing.T) {
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", "job.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, after, found := strings.Cut(string(page), "```yaml\n")
	wires, _, closed := strings.Cut(after, "```")
	if !found || !closed || !strings.HasPrefix(wires, "inputs:\n") {
		t.Fatal("the page shows no inputs")
	}
	job := `lampwright: 1
job: {title: Wires of the page, use: show-only}
lamps:
  left:
    place: {end: rear, side: LH, at: [-600 mm, 850 mm]}
    leds:
      - grid: {name: field, from: [0, 0], to: [50, 50], columns: 3, rows: 2, group: 1 row, part: red-622}
  right: {opposite-hand-of: left}
modules:
  rear-lh: {board: pins, lamp: left, wiring: {field: 1..2}, fed: {fuse: F1}}
  rear-rh: {board: pins, lamp: right, wiring: {field: 1..2}, fed: {fuse: F1}}
guard: {sleep-after: 30 s}
` + wires + `routines:
  full: {strokes: [{hold: {on: field}}]}
signals:
  - turn-lh: {input: turn-lh, takes: left.field, stay: full}
  - turn-rh: {input: turn-rh, takes: right, stay: full}
  - stop: {input: stop, takes: field.1..2, stay: full}
  - tail: {input: tail, takes: field.1, stay: full}
`
	path := filepath.Join(t.TempDir(), "wires.yaml")
	if err := os.WriteFile(path, []byte(job), 0o644); err != nil {
		t.Fatal(err)
	}
	if code, out, errors := call(nil, "check", path); code != 0 || strings.Contains(out, "caution") {
		t.Errorf("status %d\n%s%s", code, out, errors)
	}
}
