package main

import (
	"os"
	"strings"
	"testing"
)

// A command line that cannot be read is told in the builder's words. Every row of wordings is met, so that a new version of the
// parser that speaks otherwise is found here.
func TestUsage(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("my-tail.yaml", starter, 0o644); err != nil {
		t.Fatal(err)
	}
	met := map[int]bool{}
	for _, c := range []struct{ line, what, next string }{
		{"check", "the job file is missing", "lampwright check my-tail.yaml"},
		{"rewire", "the job file is missing", "lampwright rewire my-tail.yaml"},
		{"rewire my-tail.yaml", "the module is missing", "lampwright rewire my-tail.yaml rear-lh"},
		{"new", "the name of the file is missing", "lampwright new my-tail.yaml"},
		{"make my-tail.yaml", "the folder to make is missing", "-o my-kit"},
		{"check a.yaml b.yaml", "b.yaml is one argument too many", "lampwright check --help"},
		{"schema x", "x is one argument too many", "lampwright schema --help"},
		{"check my-tail.yaml --jsn", "there is no option --jsn", "did you mean --json?"},
		{"check my-tail.yaml -j", "there is no option -j here", "lampwright check --help lists the options"},
		{"play my-tail.yaml --color never", "there is no option --color", "did you mean --colour?"},
		{"--json", "there is no option --json here", "lampwright --help lists the commands"},
		{"play my-tail.yaml --at", "--at needs a value after it", "lampwright play --help"},
		{"play my-tail.yaml --lamp", "--lamp needs a value after it", "lampwright play --help"},
		{"play my-tail.yaml --at -2s", "--at needs a value after it, and -2s looks like an option", "write --at=-2s"},
		{"play my-tail.yaml --script --at 2s", "--script needs a value after it, and --at looks like an option", "--script=--at"},
		{"play my-tail.yaml --at 2", `--at: "2" is not a time: the number has no unit`, "lampwright play --help"},
		{"play my-tail.yaml --width 1e3", "--width cannot be 1e3: that is not a whole number", "lampwright play --help"},
		{"play my-tail.yaml --seed x", "--seed cannot be x: that is not a whole number", "lampwright play --help"},
		{"play my-tail.yaml --speed fast", "--speed cannot be fast: that is not a number", "lampwright play --help"},
		{"check my-tail.yaml --json=maybe", "--json cannot be maybe: it takes no value", "leave =maybe out"},
		{"play my-tail.yaml --colour red", "--colour cannot be red", "write one of auto, always, never"},
		{"chekc my-tail.yaml", `there is no command "chekc"`, "did you mean check?"},
		{"paint my-tail.yaml", `there is no command "paint"`, "use one of new, open, check, play"},
		{"my-tail.yaml check", `there is no command "my-tail.yaml"`, "the command comes first: lampwright check my-tail.yaml"},
		{"my-tail.yaml", `there is no command "my-tail.yaml"`, "lampwright check my-tail.yaml"},
		{"rewire rear-lh my-tail.yaml", "rear-lh is no job file", "the job file comes first: lampwright rewire my-tail.yaml rear-lh"},
		{"load rear-lh my-tail.yaml", "rear-lh is no job file", "the job file comes first: lampwright load my-tail.yaml rear-lh"},
		{"check EMPTY", "argument 2 is empty", "a variable of the shell"},
		{"EMPTY", "argument 1 is empty", "a variable of the shell"},
	} {
		args := strings.Fields(strings.ReplaceAll(c.line, "EMPTY", "\x00"))
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "\x00", "")
		}
		code, out, errors := call(nil, args...)
		if code != int(badUsage) || out != "" {
			t.Errorf("%s: status %d, printed %q", c.line, code, out)
		}
		what, next, _ := strings.Cut(strings.TrimSuffix(errors, "\n"), "\n  next: ")
		if !strings.HasPrefix(what, "lampwright: error: "+c.what) || !strings.Contains(next, c.next) || strings.Contains(errors, "COMMAND") {
			t.Errorf("%s:\n%swant %q and %q", c.line, errors, c.what, c.next)
		}
		if _, err := (&env{}).parser().Parse(args); err != nil {
			_, _, row := reword(err.Error())
			met[row] = true
		}
	}
	for i, w := range wordings {
		if !met[i] {
			t.Errorf("no line here makes the parser say %s", w.said)
		}
	}
}

// Words that newcomers try first lead to what they mean.
func TestHabits(t *testing.T) {
	for line, says := range map[string]string{
		"": "First steps", "help": "First steps", "help help": "First steps", "help play": "Press inputs and watch the lamps", "--version": "lampwright " + version, "-h": "First steps",
	} {
		if code, out, errors := call(nil, strings.Fields(line)...); code != 0 || errors != "" || !strings.Contains(out, says) {
			t.Errorf("%q: status %d\n%s%s", line, code, out, errors)
		}
	}
}

// Help that could not be written is told as such, and not as a slip of the builder.
func TestHelpOntoAFullDisk(t *testing.T) {
	for _, args := range [][]string{{"--help"}, {"make", "--help"}, {"help", "load"}, {}} {
		code, _, errors := call(func(e *env) { e.out = full{} }, args...)
		if code != int(lacking) || !strings.Contains(errors, "cannot write standard output: the disk is full") || strings.Count(errors, "error:") != 1 {
			t.Errorf("%v: status %d\n%s", args, code, errors)
		}
	}
}
