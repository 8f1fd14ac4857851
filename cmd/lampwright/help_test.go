package main

import (
	"context"
	"os"
	"slices"
	"strings"
	"testing"

	"lampwright/loader"
	"lampwright/report"
)

// Every command's help has an example, and every command is one that the help of the whole names.
func TestHelp(t *testing.T) {
	_, all, _ := call(nil, "--help")
	for _, command := range []string{"new", "open", "check", "play", "make", "prove", "load", "rewire", "scope", "fmt", "schema", "version"} {
		code, out, errors := call(nil, command, "--help")
		if code != 0 || errors != "" || !strings.Contains(out, "Example") || !strings.Contains(out, "    lampwright "+command) {
			t.Errorf("%s --help: status %d\n%s%s", command, code, out, errors)
		}
		if !strings.Contains(all, "\n  "+command) {
			t.Errorf("lampwright --help does not name %s", command)
		}
		if !slices.Contains(commandNames(), command) {
			t.Errorf("a usage fault of %s would not point at its help", command)
		}
	}
	if code, out, _ := call(nil); code != 0 || out != all {
		t.Errorf("without arguments: status %d\n%s", code, out)
	}
}

// The examples in the help work as they stand, one after another, in a folder that holds only a script of presses and two records.
func TestHelpExamples(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("tour.txt", []byte("stop@1s..2s\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"tail-wire.csv", "brake.csv"} {
		if err := os.WriteFile(name, []byte(steadyRecord()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	ran := 0
	for _, command := range commandNames() {
		_, help, _ := call(nil, command, "--help")
		for line := range strings.Lines(help) {
			example, is := strings.CutPrefix(line, "    lampwright ")
			if !is {
				continue
			}
			example, _, _ = strings.Cut(strings.TrimSpace(example), " > ")
			var args []string
			for i, part := range strings.Split(example, `"`) {
				if i%2 == 1 {
					args = append(args, part)
				} else {
					args = append(args, strings.Fields(part)...)
				}
			}
			want := ok
			var change func(*env)
			switch args[0] {
			case "open": // served, and ended at once; no browser is started in a test
				ended, end := context.WithCancel(context.Background())
				end()
				change = func(e *env) { e.ctx = ended }
				args = append(args, "--no-browser")
			case "prove": // slow, and told in a story
				continue
			case "new":
				os.Remove(args[1])
			case "load":
				if !slices.Contains(args, "--dry-run") {
					args = append(args, "--dry-run") // nothing is plugged in here
				}
			case "play":
				if slices.Contains(args, "--stream") {
					want = lacking // nothing is plugged in here
					change = func(e *env) {
						e.serial = func(port string) (loader.OpenPort, *report.Diagnostic) {
							d := report.Errorf("load-no-port", report.Place{}, "there is no port %s", port).Do("plug the adapter in")
							return nil, &d
						}
					}
				}
			case "rewire":
				if !slices.Contains(args, "--list") {
					want = found // nobody answers here
				}
			}
			code, _, errors := call(change, args...)
			if code != int(want) {
				t.Errorf("lampwright %s: status %d\n%s", example, code, errors)
			}
			ran++
		}
	}
	if ran < 15 {
		t.Errorf("only %d examples found", ran)
	}
}
