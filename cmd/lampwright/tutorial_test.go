package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// The tutorial is read by people who do what it says: its files are written, its commands run, and every line that it shows below a
// command must come from that command.
func TestTutorial(t *testing.T) {
	text, err := os.ReadFile("../../docs/tutorial.md")
	if err != nil {
		t.Fatal(err)
	}
	script, commands := tutorialScript(t, string(text))
	if commands < 8 {
		t.Fatalf("only %d commands found in the tutorial", commands)
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "tutorial.txtar")
	if err := os.WriteFile(file, []byte(script), 0o644); err != nil {
		t.Fatal(err)
	}
	cache := t.TempDir()
	testscript.Run(t, testscript.Params{
		Files:               []string{file},
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("LAMPWRIGHT_CACHE", cache)
			env.Setenv("NO_COLOR", "1")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"leaves": leaves},
	})
}

var fence = regexp.MustCompile("(?ms)^```(\\w+)\n(.*?)^```$")

var refreshes = regexp.MustCompile(`\d+ refreshes`)

// tutorialScript turns the tutorial's blocks into one test script. A yaml block begins with a comment that names its file, and "go on"
// adds to it.
func tutorialScript(t *testing.T, text string) (script string, commands int) {
	t.Helper()
	var b strings.Builder
	contents := map[string]string{}
	stored := 0
	var archive strings.Builder
	for _, block := range fence.FindAllStringSubmatch(text, -1) {
		kind, body := block[1], block[2]
		switch kind {
		case "yaml":
			head, rest, _ := strings.Cut(body, "\n")
			name, more := strings.CutSuffix(strings.TrimPrefix(head, "# "), ", go on")
			if more {
				contents[name] += "\n" + rest
			} else {
				contents[name] = body
			}
			stored++
			fmt.Fprintf(&archive, "-- state-%d --\n%s", stored, contents[name])
			fmt.Fprintf(&b, "cp state-%d %s\n", stored, name)
		case "console":
			for _, line := range strings.Split(strings.TrimRight(body, "\n"), "\n") {
				if command, is := strings.CutPrefix(line, "$ "); is {
					commands++
					command, remark, _ := strings.Cut(command, "    # ")
					command = strings.ReplaceAll(command, `"`, `'`)
					status := 0
					fmt.Sscanf(remark, "leaves with %d", &status)
					fmt.Fprintf(&b, "leaves %d %s\n", status, strings.TrimSpace(command))
					continue
				}
				said := regexp.QuoteMeta(strings.TrimSpace(line))
				said = refreshes.ReplaceAllString(said, `\d+ refreshes`) // how many depends on how soon the core starts
				fmt.Fprintf(&b, "stdout '%s'\n", strings.ReplaceAll(said, `'`, `''`))
			}
		}
	}
	return b.String() + archive.String(), commands
}
