package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"
	"syscall"
	"unicode"

	"lampwright/report"
)

// Rules of what is printed:
//   - Results go to standard output, everything else (problems, progress, questions) to standard error; with --json standard
//     output holds one JSON value and nothing else. docs/json.md lists the keys.
//   - A problem is one line "lampwright: error: what is wrong" without a capital or a full stop, then "  next: what to do".
//     What stands in a job file is told with file, line and column first, as editors read it.
//   - Faults are told all at once and in the order of the file, with a count at the end; a clean result is told in one line.
//   - The words are the builder's: lamp, group, output, module. No word of the programming language, no path of this
//     machine but the one the builder gave.
//   - A command that wrote something says what and where, and what comes next if something must.
//   - Colour never carries a meaning alone.

// problem tells what is wrong outside a job's text.
func (e *env) problem(what, next string) {
	fmt.Fprintf(e.err, "lampwright: error: %s\n", what)
	if next != "" {
		fmt.Fprintf(e.err, "  next: %s\n", next)
	}
}

// tell writes a line of progress or advice.
func (e *env) tell(format string, args ...any) { fmt.Fprintf(e.err, format+"\n", args...) }

// say writes a line of result.
func (e *env) say(format string, args ...any) { fmt.Fprintf(e.out, format+"\n", args...) }

// diagnostics writes a list with its count at the end.
func (e *env) diagnostics(w io.Writer, list report.List) error {
	if len(list) == 0 {
		return nil
	}
	if err := report.Render(w, list); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\n%s\n", list.Summary())
	return err
}

// json writes a result for programs.
func (e *env) json(v any) error {
	encoder := json.NewEncoder(e.out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(v)
}

// judged is the status that a list asks for.
func judged(list report.List) status {
	if list.HasErrors() {
		return found
	}
	return ok
}

// fileProblem tells in plain words why a file could not be read or written.
func (e *env) fileProblem(doing, path string, err error) status {
	why, next, code := fileReason(err)
	if doing == "write" && errors.Is(err, fs.ErrNotExist) {
		why, next = "there is no folder "+filepath.Dir(path), "make the folder first, or check its name"
	}
	if doing == "read" && errors.Is(err, fs.ErrPermission) {
		next = "check its permissions"
	}
	e.problem(fmt.Sprintf("cannot %s %s: %s", doing, path, why), next)
	return code
}

// fileReason gives the reason of a failure, what to do about it, and the status that it asks for.
func fileReason(err error) (why, next string, code status) {
	for _, r := range []struct {
		is        error
		why, next string
		code      status
	}{
		{fs.ErrNotExist, "there is no such file or folder", "check the name and the folder", found},
		{fs.ErrExist, "it is there already", "choose another name, or move the old one away", found},
		{fs.ErrPermission, "you do not have the right", "choose a folder of your own", lacking},
		{syscall.EROFS, "the disk may only be read", "choose a folder on another disk", lacking},
		{syscall.ENOSPC, "the disk is full", "make room on it, then run it again", lacking},
		{syscall.ENOTDIR, "a file stands where a folder is meant", "name another folder", found},
		{syscall.EISDIR, "it is a folder, not a file", "name a file", found},
		{syscall.ENAMETOOLONG, "the name is too long", "choose a shorter one", found},
	} {
		if errors.Is(err, r.is) {
			return r.why, r.next, r.code
		}
	}
	why = err.Error()
	var call *fs.PathError
	if errors.As(err, &call) {
		why = call.Err.Error()
	}
	return why, "check the name and the folder", found
}

// shown writes a name of a file as it can be typed into a shell again.
func shown(path string) string {
	if strings.HasPrefix(path, "-") {
		path = "." + string(filepath.Separator) + path
	}
	if !strings.ContainsFunc(path, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(`._-/\:~+,@%`, r)
	}) {
		return path
	}
	if strings.ContainsAny(path, "\"$`!") {
		return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'"
	}
	return `"` + path + `"`
}

// listing joins names for a sentence.
func listing(names []string) string { return strings.Join(names, ", ") }
