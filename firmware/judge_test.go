package firmware

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

// judge builds the portable core for the host, with the sanitizers on, once for all tests.
var judge = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "judge")
	if err != nil {
		return "", err
	}
	var sources []string
	for _, glob := range []string{"core/*.c", "host/*.c"} {
		found, err := filepath.Glob(glob)
		if err != nil || len(found) == 0 {
			return "", fmt.Errorf("no sources %s: %v", glob, err)
		}
		sources = append(sources, found...)
	}
	to := filepath.Join(dir, "judge")
	args := append([]string{"-std=gnu99", "-O1", "-g", "-Wall", "-Wextra", "-Werror", "-fsanitize=undefined,address",
		"-fno-sanitize-recover=all", "-Ihost", "-Icore", "-o", to}, sources...)
	out, err := exec.Command("gcc", args...).CombinedOutput()
	if err != nil {
		return dir, fmt.Errorf("gcc: %v\n%s", err, out)
	}
	return dir, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if dir, _ := judge(); dir != "" {
		os.RemoveAll(dir)
	}
	os.Exit(code)
}

// coreLines runs a vector's samples through the core and gives what it shows and keeps, and when it may sleep; firmware/host/judge.c
// says how.
func coreLines(tb rapid.TB, v *vector.Vector) (words, naps []string) {
	dir, err := judge()
	if err != nil {
		tb.Fatalf("%v", err)
	}
	var stderr bytes.Buffer
	cmd := exec.Command(filepath.Join(dir, "judge"))
	cmd.Stdin, cmd.Stderr = bytes.NewReader(v.Format()), &stderr
	out, err := cmd.Output()
	if err != nil {
		tb.Fatalf("judge: %v\n%s", err, stderr.Bytes())
	}
	for line := range strings.Lines(string(out)) {
		line = strings.TrimSuffix(line, "\n")
		if strings.HasPrefix(line, "sleep ") {
			naps = append(naps, line)
		} else {
			words = append(words, line)
		}
	}
	return words, naps
}

// napLines says when the engine may sleep, as the judge prints it.
func napLines(v *vector.Vector) (lines []string) {
	e := program.NewEngine(v.Powering())
	refresh, may := 0, false
	for _, r := range v.Runs {
		r.Begin(e)
		for range r.Refreshes {
			e.Step(r.In, r.Link)
			if refresh++; refresh%program.RefreshesPerFrame == 0 && e.MaySleep() != may {
				may = !may
				lines = append(lines, fmt.Sprintf("sleep %d %d", refresh, digit(may)))
			}
		}
	}
	return lines
}

// wordLines gives what leaves the module, and what its EEPROM and its RAM hold in the end, as the judge prints it: without levels, which
// words do not tell.
func wordLines(registers int, shows []vector.Show, kept [program.MemoryBytes]byte, left program.Remnant) []string {
	lines := []string{fmt.Sprintf("registers %d", registers)}
	last := ""
	for _, s := range shows {
		b := fmt.Appendf(nil, "%d %x", digit(s.Pull), s.Force[:registers])
		for _, w := range append([][program.MaxRegisters]uint8{s.Sub[2], s.Sub[1], s.Sub[0]}, s.Planes[:]...) {
			b = fmt.Appendf(b, " %x", w[:registers])
		}
		if string(b) != last {
			last = string(b)
			lines = append(lines, fmt.Sprintf("show %d %s", s.Refresh, b))
		}
	}
	return append(lines, fmt.Sprintf("kept %x", kept), fmt.Sprintf("left %x", left))
}

func digit(b bool) int {
	if b {
		return 1
	}
	return 0
}

// sameLight fails unless the core and the engine show the same in every refresh, keep the same and may sleep at the same times. It
// gives the number of changes of light.
func sameLight(tb rapid.TB, v *vector.Vector) int {
	words, naps := coreLines(tb, v)
	sameLines(tb, naps, napLines(v))
	return sameLines(tb, words, wordLines(v.Play()))
}

func sameLines(tb rapid.TB, core, engine []string) int {
	for i := range min(len(core), len(engine)) {
		if core[i] != engine[i] {
			tb.Fatalf("they differ at line %d:\ncore   %s\nengine %s\nbefore %s", i, core[i], engine[i], core[max(i-1, 0)])
		}
	}
	if len(core) != len(engine) {
		tb.Fatalf("%d lines of the core, %d of the engine", len(core), len(engine))
	}
	return len(core)
}
