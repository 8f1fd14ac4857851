package proof

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// Run carries out a setup and keeps every refresh: about 0.5 MB for each second of a simulated module.
//
// It stops early with the context's error when ctx ends. The error is of type *NotProven when this machine cannot run the
// simulated processor.
func Run(ctx context.Context, s Setup) (*Log, error) {
	lists := make([][]Refresh, len(s.Modules))
	log, err := Watch(ctx, s, func(module int, _ Boot, r Refresh) error {
		lists[module] = append(lists[module], r)
		return nil
	})
	if err != nil {
		return nil, err
	}
	for i := range lists {
		log.Modules[i].Refreshes = lists[i]
	}
	return log, nil
}

// Watch carries out a setup and hands out each refresh, with the boot it belongs to, as soon as it is complete, those of one
// module in order. An error of each stops the run and is given back.
func Watch(ctx context.Context, s Setup, each func(module int, b Boot, r Refresh) error) (*Log, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	text, eventLines := s.text(nil, nil)
	var log *Log
	err := bench(ctx, s, text, nil, func(r io.Reader) (err error) {
		progress := func(module int, cycle uint64) {
			if s.Progress != nil {
				s.Progress(min(s.Modules[module].At(cycle), s.Length), s.Length)
			}
		}
		log, err = decode(r, s.Modules, eventLines, each, progress)
		return err
	})
	if err != nil {
		return nil, err
	}
	if s.Progress != nil {
		s.Progress(s.Length, s.Length)
	}
	return log, nil
}

// bench starts the compiled bench in a folder of its own with the modules' HEX files, feeds it the setup text and lets read
// take its stream.
func bench(ctx context.Context, s Setup, text string, args []string, read func(io.Reader) error) error {
	program, err := Prepare(ctx, s.Cache)
	if err != nil {
		return err
	}
	program, err = filepath.Abs(program)
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "lampwright-proof-")
	if err != nil {
		return fmt.Errorf("cannot make a folder for the run: %w", err)
	}
	defer os.RemoveAll(dir)
	for i, m := range s.Modules {
		if err := os.WriteFile(filepath.Join(dir, hexName(i)), m.HEX, 0o600); err != nil {
			return fmt.Errorf("cannot write the HEX file of module %d: %w", i, err)
		}
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Dir, cmd.Stdin = dir, strings.NewReader(text)
	cmd.WaitDelay = time.Second
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	stream, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return fmt.Errorf("cannot start the bench: %w", err)
	}
	readErr := read(stream)
	outside := ctx.Err()
	if readErr != nil {
		stop()
	}
	waitErr := cmd.Wait()
	switch {
	case outside != nil:
		return outside
	case waitErr != nil && complaint.Len() > 0:
		return fmt.Errorf("the bench refuses the setup: %s", firstLine(complaint.Bytes()))
	case readErr != nil:
		return readErr
	case waitErr != nil:
		return fmt.Errorf("the bench broke off: %w", waitErr)
	}
	return nil
}

func jobsArg(n int) []string { return []string{"-jobs", strconv.Itoa(max(n, 1))} }
