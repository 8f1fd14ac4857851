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
// to take the place of the job file. "-" writes to standard output, and a device or a pipe is written to where it is.
func (e *env) write(path, job string, fill func(io.Writer) error) error {
	if path == "-" {
		out := bufio.NewWriter(e.out)
		return errors.Join(fill(out), out.Flush())
	}
	if sameFile(path, job) {
		e.problem("the result would take the place of the job file "+job, "give the result another name")
		return badUsage
	}
	target := path
	if real, err := filepath.EvalSymlinks(path); err == nil {
		target = real // what a link points to is replaced, not the link
	}
	var err error
	switch info, missing := os.Stat(target); {
	case missing != nil || info.Mode().IsRegular():
		err = replace(target, fill)
	case info.IsDir():
		err = syscall.EISDIR
	default:
		var device *os.File
		if device, err = os.OpenFile(target, os.O_WRONLY, 0); err == nil {
			err = errors.Join(fill(device), device.Close())
		}
	}
	if err == nil || errors.Is(err, context.Canceled) {
		return err
	}
	return e.fileProblem("write", path, err)
}

// replace fills a new file beside a path and gives it the path's name.
func replace(path string, fill func(io.Writer) error) error {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(f, 1<<16)
	err = fill(out)
	err = errors.Join(err, out.Flush(), f.Chmod(0o644), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		os.Remove(f.Name())
	}
	return err
}

// readBounded reads a file, and no more than one byte above what is taken at all: a device may never end.
func readBounded(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, most+1))
}

// sameName tells whether two names of results mean one file.
func sameName(a, b string) bool {
	return a != "" && b != "" && (filepath.Clean(a) == filepath.Clean(b) || sameFile(a, b))
}

func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

// watched notes whether standard output took everything.
type watched struct {
	io.Writer
	err error // the first that was met
}

func (w *watched) Write(p []byte) (int, error) {
	n, err := w.Writer.Write(p)
	if w.err == nil {
		w.err = err
	}
	return n, err
}
