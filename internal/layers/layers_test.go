// Package layers holds the test that keeps the rooms of the house in order: imports point only downward.
package layers

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"strings"
	"testing"
)

// rooms lists the packages from the ground up. A room may import only rooms above it in this list.
var rooms = []string{
	"units", "report", "source", "parts", "board", "job", "lamp", "light", "program", "script", "feed", "kit", "compile", "car",
	"firmware", "flash", "proof", "rules", "figures", "loader", "session", "examples", "photo", "web", "cmd/lampwright",
}

// strangers may not be imported even though they lie below: each room with what it must know nothing of.
var strangers = map[string][]string{
	"lamp":     {"source", "job", "board"},
	"light":    {"source", "job", "board"},
	"program":  {"source", "job", "board", "lamp", "light"},
	"script":   {"lamp", "light", "program"},
	"feed":     {"source", "parts", "job", "lamp", "light", "program", "script"},
	"compile":  {"job", "source"},
	"firmware": {"kit", "compile", "car"},
	"flash":    {"kit", "job", "compile"},
	"proof":    {"job"},
	"rules":    {"job"},
	"figures":  {"job"},
	"session":  {"compile", "proof", "figures", "loader"},
}

// onlyThese may import job: everything else reads the job as meant, from kit.
var onlyThese = map[string]bool{"kit": true, "session": true, "cmd/lampwright": true}

type pkg struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
}

func list(t *testing.T) []pkg {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "lampwright/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	var all []pkg
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p pkg
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

// room returns the room that a package path lies in, or "" (helpers for tests and generators live in internal).
func room(path string) string {
	rest, ours := strings.CutPrefix(path, "lampwright/")
	if !ours {
		return ""
	}
	best := ""
	for _, r := range rooms {
		if (rest == r || strings.HasPrefix(rest, r+"/")) && len(r) > len(best) {
			best = r
		}
	}
	return best
}

func TestImportsPointDownward(t *testing.T) {
	height := map[string]int{}
	for i, r := range rooms {
		height[r] = i
	}
	seen := 0
	for _, p := range list(t) {
		from := room(p.ImportPath)
		if from == "" {
			if !strings.HasPrefix(p.ImportPath, "lampwright/internal/") {
				t.Errorf("%s lies in no room: add the room to the list, in its place", p.ImportPath)
			}
			continue
		}
		seen++
		for _, imported := range p.Imports {
			to := room(imported)
			if to == "" || to == from {
				continue
			}
			if height[to] > height[from] {
				t.Errorf("%s imports %s: %s lies above %s", p.ImportPath, imported, to, from)
			}
			for _, no := range strangers[from] {
				if to == no {
					t.Errorf("%s imports %s: %s knows nothing of %s", p.ImportPath, imported, from, no)
				}
			}
			if to == "job" && !onlyThese[from] {
				t.Errorf("%s imports job: read the job as meant, from kit", p.ImportPath)
			}
		}
	}
	if seen < 10 {
		t.Fatalf("only %d rooms found: the listing is broken", seen)
	}
}

// The rule must bite: a wrong direction and a stranger are found by the same functions.
func TestRoomNames(t *testing.T) {
	for path, want := range map[string]string{
		"lampwright/program":             "program",
		"lampwright/program/programtest": "program",
		"lampwright/cmd/lampwright":      "cmd/lampwright",
		"lampwright/internal/layers":     "",
		"fmt":                            "",
	} {
		if got := room(path); got != want {
			t.Errorf("room(%q) = %q, want %q", path, got, want)
		}
	}
}
