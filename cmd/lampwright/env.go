package main

import (
	"context"
	"io"
	"os"
	"strconv"
	"time"

	"golang.org/x/term"

	"lampwright/loader"
	"lampwright/report"
)

// env is all that a command takes from the world outside, so that tests can give another one.
type env struct {
	ctx    context.Context
	in     io.Reader
	out    io.Writer // results
	err    io.Writer // messages and progress
	getenv func(string) string
	sleep  func(time.Duration)
	serial func(port string) (loader.OpenPort, *report.Diagnostic)
	// screen tells whether results go to a terminal, and how large it is in character cells.
	screen func() (columns, rows int, terminal bool)
}

// system is the world as the operating system gives it.
func system(ctx context.Context) *env {
	return &env{
		ctx: ctx, in: os.Stdin, out: os.Stdout, err: os.Stderr, getenv: os.Getenv, serial: loader.Open,
		sleep: func(d time.Duration) {
			select {
			case <-time.After(d):
			case <-ctx.Done():
			}
		},
		screen: func() (columns, rows int, terminal bool) {
			fd := int(os.Stdout.Fd())
			if !term.IsTerminal(fd) {
				return 0, 0, false
			}
			columns, rows, err := term.GetSize(fd)
			return columns, rows, err == nil
		},
	}
}

// plainColumns is the width of pictures that do not go to a terminal, unless COLUMNS says another.
const plainColumns = 80

// canvas tells how large a picture may be and whether it may have colours.
func (e *env) canvas(colour string) (columns, rows int, coloured, live bool) {
	columns, rows, live = e.screen()
	if !live {
		columns, rows = plainColumns, 0
		if n, err := strconv.Atoi(e.getenv("COLUMNS")); err == nil && n > 0 {
			columns = min(n, 400)
		}
	}
	switch colour {
	case "always":
		coloured = true
	case "never":
	default:
		deep := e.getenv("COLORTERM")
		coloured = live && e.getenv("NO_COLOR") == "" && e.getenv("TERM") != "dumb" && (deep == "truecolor" || deep == "24bit")
	}
	return columns, rows, coloured, live
}
