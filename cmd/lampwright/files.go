package main

import (
	"bufio"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"syscall"
)

// write makes a file that is either wholly there or not at all: it is filled beside its place and then renamed. It refuses
// to take the place of the job file. "-" writes to standard output.
func (e *env) write(path, job string, fill func(io.Writer) error) error {
	if path == "-" {
		out := bufio.NewWriter(e.out)
		return errors.Join(fill(out), out.Flush())
	}
	if sameFile(path, job) {
		e.problem("the result would take the place of the job file "+job, "give the result another name")
		return badUsage
	}
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return e.fileProblem("write", path, syscall.EISDIR)
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return e.fileProblem("write", path, err)
	}
	out := bufio.NewWriterSize(f, 1<<16)
	err = fill(out)
	err = errors.Join(err, out.Flush(), f.Chmod(0o644), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		os.Remove(f.Name())
		if errors.Is(err, context.Canceled) {
			return err
		}
		return e.fileProblem("write", path, err)
	}
	return nil
}

func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}
