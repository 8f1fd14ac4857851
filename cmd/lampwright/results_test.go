package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"lampwright/kit"
)

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
