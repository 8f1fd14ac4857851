package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// The screen moves in place: one frame each 40 ms, as often as the play is long, and the cursor comes back.
func TestPlayMoves(t *testing.T) {
	path := filepath.Join(t.TempDir(), "starter.yaml")
	if err := os.WriteFile(path, starter, 0o644); err != nil {
		t.Fatal(err)
	}
	var slept []time.Duration
	live := func(e *env) {
		e.screen = func() (int, int, bool) { return 90, 30, true }
		e.sleep = func(d time.Duration) { slept = append(slept, d) }
	}
	code, out, errors := call(live, "play", path, "--script", "stop@0s..1s", "--until", "2s", "--speed", "2")
	if code != 0 || errors != "" {
		t.Fatalf("status %d: %s", code, errors)
	}
	if len(slept) != 25 || slept[0] != 40*time.Millisecond { // 2 s at twice the speed, 25 frames a second
		t.Errorf("slept %d times, first %v", len(slept), slept[:1])
	}
	if !strings.HasPrefix(out, hideCursor) || !strings.HasSuffix(out, showCursor) || strings.Count(out, "tail-lh") != 26 {
		t.Errorf("%d pictures:\n%q", strings.Count(out, "tail-lh"), out[max(0, len(out)-200):])
	}
	if rows := strings.Count(strings.SplitN(out, "\x1b[", 3)[1], "\n"); rows > 30 {
		t.Errorf("a picture of %d rows on a screen of 30", rows)
	}
}

// On a small screen every frame covers the one before it: no line is broken in two, none scrolls away.
func TestPlayMovesOnASmallScreen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "starter.yaml")
	if err := os.WriteFile(path, starter, 0o644); err != nil {
		t.Fatal(err)
	}
	const columns, rows = 32, 9
	_, out, errors := call(func(e *env) { e.screen = func() (int, int, bool) { return columns, rows, true } },
		"play", path, "--script", "stop@0s..1s tail@0s..1s turn-lh@0s..1s turn-rh@0s..1s remote-1@0s..1s", "--until", "200ms")
	if errors != "" {
		t.Fatal(errors)
	}
	frames := strings.Split(strings.TrimSuffix(strings.TrimPrefix(out, hideCursor), showCursor), "\r")
	if len(frames) != 6 || !strings.Contains(frames[1], "…"+clearLine) {
		t.Fatalf("%d frames:\n%q", len(frames), out)
	}
	for _, f := range frames {
		f, up, _ := strings.Cut(f, "\x1b[8A")
		lines := strings.Split(strings.TrimSuffix(strings.ReplaceAll(f, clearLine, ""), "\n"), "\n")
		if len(lines) > rows-1 || up != "" {
			t.Errorf("a frame of %d lines, then %q", len(lines), up)
		}
		for _, line := range lines {
			if n := len([]rune(line)); n >= columns {
				t.Errorf("a line of %d: %q", n, line)
			}
		}
	}
}

// Colours: asked for, allowed by the terminal, or forbidden by NO_COLOR.
func TestColours(t *testing.T) {
	for _, c := range []struct {
		vars    map[string]string
		colour  string
		screen  bool
		colours bool
	}{
		{map[string]string{"COLORTERM": "truecolor"}, "auto", true, true},
		{map[string]string{"COLORTERM": "24bit"}, "auto", true, true},
		{map[string]string{"COLORTERM": "truecolor", "NO_COLOR": "1"}, "auto", true, false},
		{map[string]string{"COLORTERM": "truecolor", "TERM": "dumb"}, "auto", true, false},
		{map[string]string{"COLORTERM": "truecolor"}, "auto", false, false},
		{map[string]string{"COLORTERM": "truecolor"}, "never", true, false},
		{map[string]string{"NO_COLOR": "1"}, "always", false, true},
		{nil, "auto", true, false},
	} {
		e := &env{getenv: func(name string) string { return c.vars[name] }, screen: func() (int, int, bool) { return 80, 24, c.screen }}
		if _, _, coloured, _ := e.canvas(c.colour); coloured != c.colours {
			t.Errorf("%v --colour %s, terminal %v: colours %v", c.vars, c.colour, c.screen, coloured)
		}
	}
}

// A play that is stopped says so in plain words and leaves no file.
func TestStopped(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "starter.yaml")
	if err := os.WriteFile(path, starter, 0o644); err != nil {
		t.Fatal(err)
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	for _, args := range [][]string{{"--gif", filepath.Join(folder, "a.gif")}, {"--csv", filepath.Join(folder, "a.csv")}, {"--every", "1s"}} {
		code, _, errors := call(func(e *env) { e.ctx = stopped }, append([]string{"play", path}, args...)...)
		if code != int(found) || !strings.Contains(errors, "stopped before the end") {
			t.Errorf("%v: status %d, %s", args, code, errors)
		}
	}
	if entries, err := os.ReadDir(folder); err != nil || len(entries) != 1 {
		t.Errorf("left behind: %v", entries)
	}
}
