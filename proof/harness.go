package proof

import (
	"bytes"
	"context"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
)

//go:embed harness/*.c harness/*.h
var harnessSource embed.FS

// installCommand fits Debian and its descendants.
const installCommand = "apt-get install -y --no-install-recommends gcc libc6-dev libsimavr-dev"

// NotProven says why nothing could be run here. It is a result of its own kind, neither a pass nor a failure of the lamps.
type NotProven struct {
	Reason  string // why, in plain words
	Install string // command that would make the proof possible, "" when none would
}

func (n *NotProven) Error() string {
	s := "not proven here: " + n.Reason
	if n.Install != "" {
		s += "; install with: " + n.Install
	}
	return s
}

// Prepare compiles the bench into the folder cache, unless the same source, compiler and library were compiled there before,
// and gives the path of the program. Folder cache is made when missing. The error is of type *NotProven when this machine
// cannot run the bench.
func Prepare(ctx context.Context, cache string) (string, error) {
	if runtime.GOOS != "linux" {
		return "", &NotProven{Reason: "the simulated processor runs on Linux only, this is " + runtime.GOOS}
	}
	gcc, err := exec.LookPath("gcc")
	if err != nil {
		return "", &NotProven{"the C compiler gcc is missing", installCommand}
	}
	names, err := harnessSource.ReadDir("harness")
	if err != nil {
		return "", err
	}
	args := []string{"-O2", "-std=gnu11", "-I/usr/include/simavr"}
	sum := sha256.New()
	for _, n := range names { // ReadDir sorts by name
		text, err := harnessSource.ReadFile("harness/" + n.Name())
		if err != nil {
			return "", err
		}
		fmt.Fprintf(sum, "%s %d\n%s", n.Name(), len(text), text)
	}
	fmt.Fprintln(sum, args)
	for _, probe := range [][]string{{"--version"}, {"-print-file-name=libsimavr.so"}} {
		out, err := exec.CommandContext(ctx, gcc, probe...).Output()
		if err != nil {
			return "", fmt.Errorf("gcc does not answer: %w", err)
		}
		sum.Write(out)
		if real, err := filepath.EvalSymlinks(strings.TrimSpace(string(out))); err == nil {
			fmt.Fprintln(sum, real) // the file name carries the library's version
		}
	}
	program := filepath.Join(cache, "bench-"+hex.EncodeToString(sum.Sum(nil))[:20])
	if _, err := os.Stat(program); err == nil {
		return program, nil
	}
	if err := os.MkdirAll(cache, 0o755); err != nil {
		return "", fmt.Errorf("cannot make the folder for the compiled bench: %w", err)
	}
	if err := compileBench(ctx, gcc, args, program); err != nil {
		return "", err
	}
	return program, nil
}

// compileBench builds beside the final place and renames, so that two runs at once do not meet half a program.
func compileBench(ctx context.Context, gcc string, args []string, program string) error {
	dir, err := os.MkdirTemp(filepath.Dir(program), "build-")
	if err != nil {
		return fmt.Errorf("cannot make a folder to compile in: %w", err)
	}
	defer os.RemoveAll(dir)
	if err := os.CopyFS(dir, harnessSource); err != nil {
		return fmt.Errorf("cannot write the bench's source: %w", err)
	}
	sources, err := filepath.Glob(filepath.Join(dir, "harness", "*.c"))
	if err != nil || len(sources) == 0 {
		return errors.New("the bench's source is missing from this program")
	}
	made := filepath.Join(dir, "bench")
	cmd := exec.CommandContext(ctx, gcc, append(append(args, sources...), "-o", made, "-lsimavr", "-lm")...)
	out, err := cmd.CombinedOutput()
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		for _, missing := range []string{"sim_avr.h", "-lsimavr", "stdio.h"} {
			if bytes.Contains(out, []byte(missing)) {
				return &NotProven{"the processor simulator's development files are missing (" + missing + ")", installCommand}
			}
		}
		return &NotProven{Reason: "the bench does not compile with the simulator installed here: " + firstLine(out)}
	}
	if err := os.Rename(made, program); err != nil {
		return fmt.Errorf("cannot keep the compiled bench: %w", err)
	}
	return nil
}

func firstLine(b []byte) string {
	line, _, _ := strings.Cut(strings.TrimSpace(string(b)), "\n")
	return line
}
