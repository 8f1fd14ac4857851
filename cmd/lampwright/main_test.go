package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"lampwright/kit"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"lampwright": main,
		"avrdude":    standIn,
	})
}

// standIn is an avrdude for stories: it says and does what AVRDUDE_SAYS and AVRDUDE_STATUS tell, and keeps a copy of the HEX.
func standIn() {
	os.Stderr.WriteString(os.Getenv("AVRDUDE_SAYS") + "\n")
	for _, arg := range os.Args {
		if rest, ok := strings.CutPrefix(arg, "flash:w:"); ok {
			text, err := os.ReadFile(strings.TrimSuffix(rest, ":i"))
			if err == nil {
				err = os.WriteFile("loaded.hex", text, 0o644)
			}
			if err != nil {
				os.Stderr.WriteString(err.Error())
				os.Exit(9)
			}
		}
	}
	if os.Getenv("AVRDUDE_STATUS") == "1" {
		os.Exit(1)
	}
}

// TestStories runs each file of testdata: one story a command, with the files it needs.
func TestStories(t *testing.T) {
	stories, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(stories) < 10 {
		t.Fatalf("%d stories found", len(stories))
	}
	cache := t.TempDir()
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		UpdateScripts:       os.Getenv("UPDATE_GOLDEN") != "",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("LAMPWRIGHT_CACHE", cache)
			env.Setenv("NO_COLOR", "1")
			env.Setenv("BIN", filepath.SplitList(env.Getenv("PATH"))[0]) // holds this program and its stand-ins, and no compiler
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"leaves": leaves},
	})
}

// leaves runs a command and checks the status that it leaves with: leaves 2 lampwright check.
func leaves(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: leaves STATUS COMMAND [ARGUMENT...]")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if err != nil {
		got = strings.TrimPrefix(err.Error(), "exit status ")
	}
	if got != args[0] {
		ts.Fatalf("left with %s, expected %s", got, args[0])
	}
}

// The starter is what a newcomer sees first: it checks clean, says nothing at all, and is in the order that fmt makes.
func TestStarterIsClean(t *testing.T) {
	k, list := kit.Parse("starter.yaml", starter, kit.NoFiles)
	if k == nil || len(list) > 0 {
		t.Fatal(list)
	}
	path := filepath.Join(t.TempDir(), "starter.yaml")
	if err := os.WriteFile(path, starter, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"check", path}, {"fmt", "--check", path}} {
		if code, out, err := call(nil, args...); code != 0 || strings.Contains(out, "caution") || err != "" {
			t.Errorf("%v: status %d\n%s%s", args, code, out, err)
		}
	}
}

// call runs the command line without a system around it.
func call(change func(*env), args ...string) (code int, out, errors string) {
	var o, e bytes.Buffer
	world := &env{ctx: context.Background(), in: strings.NewReader(""), out: &o, err: &e, getenv: func(string) string { return "" },
		sleep: func(time.Duration) {}, screen: func() (int, int, bool) { return 0, 0, false }}
	if change != nil {
		change(world)
	}
	code = run(args, world)
	return code, o.String(), e.String()
}

// Every command's help has an example, and every command is one that the help of the whole names.
func TestHelp(t *testing.T) {
	_, all, _ := call(nil, "--help")
	for _, command := range []string{"new", "check", "play", "make", "prove", "load", "rewire", "fmt", "schema", "version"} {
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

func TestRunsOf(t *testing.T) {
	for _, c := range []struct {
		numbers []int
		want    string
	}{
		{[]int{1, 2, 3}, "1..3"}, {[]int{3, 2, 1}, "3..1"}, {[]int{7}, "7"}, {[]int{2, 1, 3, 4}, "2..1 3..4"},
		{[]int{19, 20, 13, 14, 1}, "19..20 13..14 1"}, {nil, ""}, {[]int{1, 3, 5}, "1 3 5"}, {[]int{1, 2, 1}, "1..2 1"},
	} {
		if got := strings.Join(runsOf(c.numbers), " "); got != c.want {
			t.Errorf("%v: %s, want %s", c.numbers, got, c.want)
		}
	}
}

// What a proof says is told, and a difference is never passed over.
func TestProofIsTold(t *testing.T) {
	for _, c := range []struct {
		proven bool
		code   status
		says   string
	}{{true, ok, "proven over"}, {false, unproven, "NOT as the job says"}} {
		var out, errors bytes.Buffer
		e := &env{out: &out, err: &errors}
		r := proven{Proven: c.proven, Simulated: 2, Modules: []provenModule{{Module: "left", Proven: c.proven, Refreshes: 5}}}
		if !c.proven {
			r.Modules[0].Problems = []string{"0.5 ms, module left: a word differs"}
		}
		err := proveCommand{}.tellResult(e, r)
		if got, _ := err.(status); got != c.code || !strings.Contains(out.String(), c.says) {
			t.Errorf("proven %v: status %d\n%s", c.proven, got, out.String())
		}
		if !c.proven && (!strings.Contains(out.String(), "a word differs") || !strings.Contains(errors.String(), "do not load it")) {
			t.Errorf("the difference is not told:\n%s%s", out.String(), errors.String())
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

// Ctrl-C at a question leaves it at once, and so does the end of the answers.
func TestWalkIsLeft(t *testing.T) {
	path := filepath.Join(t.TempDir(), "starter.yaml")
	if err := os.WriteFile(path, starter, 0o644); err != nil {
		t.Fatal(err)
	}
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	nobody, _ := io.Pipe()
	for name, change := range map[string]func(*env){
		"Ctrl-C":   func(e *env) { e.ctx, e.in = stopped, nobody },
		"no input": func(e *env) { e.in = strings.NewReader("turn.1\n") },
	} {
		code, _, errors := call(change, "rewire", path, "rear-lh")
		if code != int(found) || !strings.HasSuffix(errors, "nothing was changed\n") {
			t.Errorf("%s: status %d\n%s", name, code, errors)
		}
		if name == "no input" && !strings.Contains(errors, "next: run it again; still to find: turn.2") {
			t.Errorf("%s: what is missing is not told:\n%s", name, errors)
		}
	}
	if text, err := os.ReadFile(path); err != nil || !bytes.Equal(text, starter) {
		t.Errorf("the job changed (%v)", err)
	}
}

// Names of modules become names of files, beside those of the kit itself and on any machine.
func TestModuleFileNames(t *testing.T) {
	for name, says := range map[string]string{
		"rear-lh": "", "console": "", "com10": "",
		"summary": "called summary.txt", "packing-list": "called packing-list.txt", "walk-chain-16": "called walk-chain-16.hex", "aux": "Windows", "com1": "Windows",
	} {
		k, list := kit.Parse("starter.yaml", bytes.ReplaceAll(starter, []byte("rear-lh"), []byte(name)), kit.NoFiles)
		if k == nil {
			t.Fatal(list)
		}
		list = fileNames(k)
		if len(list) > 0 != (says != "") || len(list) > 0 && (!strings.Contains(list[0].Why, says) || list[0].Next == "" || list[0].Place.Line == 0) {
			t.Errorf("%s: %v", name, list)
		}
	}
}

// The examples in the help work as they stand, one after another, in a folder that holds only a script of presses.
func TestHelpExamples(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("tour.txt", []byte("stop@1s..2s\n"), 0o644); err != nil {
		t.Fatal(err)
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
			switch args[0] {
			case "prove": // slow, and told in a story
				continue
			case "new":
				os.Remove(args[1])
			case "load":
				if !slices.Contains(args, "--dry-run") {
					args = append(args, "--dry-run") // nothing is plugged in here
				}
			case "rewire":
				if !slices.Contains(args, "--list") {
					want = found // nobody answers here
				}
			}
			code, _, errors := call(nil, args...)
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

// A full disk behind standard output is told, once, and is not a success.
func TestFullOutput(t *testing.T) {
	path := filepath.Join(t.TempDir(), "starter.yaml")
	if err := os.WriteFile(path, starter, 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"check", path}, {"check", path, "--json"}, {"play", path, "--csv", "-"}, {"play", path, "--every", "5s"}, {"schema"}, {"version"}} {
		code, _, errors := call(func(e *env) { e.out = full{} }, args...)
		if code != int(lacking) || strings.Count(errors, "error:") != 1 || !strings.Contains(errors, "cannot write standard output: the disk is full") {
			t.Errorf("%v: status %d\n%s", args, code, errors)
		}
	}
}

// full is a disk without room.
type full struct{}

func (full) Write([]byte) (int, error) {
	return 0, &os.PathError{Op: "write", Path: "/dev/stdout", Err: syscall.ENOSPC}
}

// A device is written to, not replaced; a link stays a link.
func TestResultsKeepDevicesAndLinks(t *testing.T) {
	folder := t.TempDir()
	path, pipe, link, target := filepath.Join(folder, "starter.yaml"), filepath.Join(folder, "pipe"), filepath.Join(folder, "link.svg"), filepath.Join(folder, "target.svg")
	if err := errors.Join(os.WriteFile(path, starter, 0o644), os.WriteFile(target, nil, 0o644), os.Symlink("target.svg", link)); err != nil {
		t.Skip("no links here:", err)
	}
	if out, err := exec.Command("mkfifo", pipe).CombinedOutput(); err != nil {
		t.Skipf("no pipes here: %s", out)
	}
	read := make(chan []byte)
	go func() {
		text, _ := os.ReadFile(pipe)
		read <- text
	}()
	for _, to := range []string{pipe, link} {
		if code, _, errors := call(nil, "play", path, "--at", "1s", "--svg", to); code != 0 {
			t.Fatalf("%s: %s", to, errors)
		}
	}
	text := <-read
	written, err := os.ReadFile(target)
	info, missing := os.Lstat(link)
	if err != nil || missing != nil || info.Mode()&os.ModeSymlink == 0 || !bytes.Equal(text, written) || !bytes.HasPrefix(text, []byte("<svg")) {
		t.Errorf("the pipe gave %d bytes, the link's target holds %d, the link is %v", len(text), len(written), info.Mode())
	}
}
