package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"lampwright/flash"
	"lampwright/kit"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"lampwright": main,
		"avrdude":    standIn,
	})
}

// standIn is an avrdude for stories: it says what AVRDUDE_SAYS tells, keeps a copy of the HEX that it is to write, and reads the bytes
// of the HEX AVRDUDE_HOLDS, or an empty chip. With AVRDUDE_STATUS=1 it fails, with AVRDUDE_STATUS=write only when it is to write.
func standIn() {
	reads := false
	for _, arg := range os.Args {
		if rest, ok := strings.CutPrefix(arg, "flash:r:"); ok {
			reads = true
			if err := os.WriteFile(strings.TrimSuffix(rest, ":r"), bytesOf(os.Getenv("AVRDUDE_HOLDS")), 0o644); err != nil {
				os.Stderr.WriteString(err.Error())
				os.Exit(9)
			}
		}
	}
	if reads && os.Getenv("AVRDUDE_STATUS") != "1" {
		return
	}
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
	if os.Getenv("AVRDUDE_STATUS") != "" {
		os.Exit(1)
	}
}

// bytesOf gives what a HEX file holds from address 0 on; nothing without a file.
func bytesOf(path string) []byte {
	text, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	memory, err := flash.ReadHEX(text)
	if err != nil {
		panic(err)
	}
	held, err := memory.Flat(flash.TotalBytes)
	if err != nil {
		panic(err)
	}
	return held
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
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"leaves": leaves, "plug": plug},
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

// Nothing is never proven: neither a job of lamps alone nor a script under which no module has a supply.
func TestNothingIsNotProven(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lamps.yaml")
	text := "lampwright: 1\njob: {title: Lamps alone, use: show-only}\nlamps:\n  a:\n    place: {end: rear, side: LH, at: [-600 mm, 850 mm]}\n    leds:\n      - led: {name: eye, at: [0, 0], part: red-622}\n"
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	kitFolder := filepath.Join(filepath.Dir(path), "kit")
	for _, args := range [][]string{{"prove", path}, {"prove", path, "--json"}, {"make", path, "-o", kitFolder}} {
		code, out, errors := call(nil, args...)
		if code != int(found) || out != "" || !strings.Contains(errors, "the job has no module: there is nothing to "+args[0]) {
			t.Errorf("%v: status %d\n%s%s", args, code, out, errors)
		}
	}
	if _, err := os.Stat(kitFolder); err == nil {
		t.Error("an empty kit was made")
	}
	some := proven{Modules: []provenModule{{Module: "left", Proven: true}, {Module: "right", Proven: true, Refreshes: 5}}}
	if got := some.butFor(); got != ", but nothing of left" {
		t.Errorf("proven%s", got)
	}
	var out, errors bytes.Buffer
	r := proven{Simulated: 2, Modules: []provenModule{{Module: "left", Proven: true}}}
	err := proveCommand{}.tellResult(&env{out: &out, err: &errors}, r)
	if got, _ := err.(status); got != badUsage || strings.Contains(out.String(), "proven over") || !strings.Contains(errors.String(), "nothing was compared") {
		t.Errorf("status %d\n%s%s", got, out.String(), errors.String())
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
