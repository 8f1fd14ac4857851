package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// A kit folder is what make writes. It is made beside its place and renamed, so that it is either the old one or the new one.
// Its packing list names each file with its SHA-256 and is what tells our folders from others. Files that a builder laid
// beside ours are kept.

// packingList is the name of the file that marks a kit folder.
const packingList = "packing-list.txt"

// packingHead is its first line; a folder whose list begins otherwise is not ours.
const packingHead = "Made by lampwright. Each file below with its SHA-256; what is not listed here was laid beside."

type kitFile struct {
	name string
	data []byte
}

// pack writes the packing list of files.
func pack(files []kitFile) kitFile {
	var b strings.Builder
	fmt.Fprintln(&b, packingHead)
	for _, f := range files {
		sum := sha256.Sum256(f.data)
		fmt.Fprintf(&b, "%s  %s\n", hex.EncodeToString(sum[:]), f.name)
	}
	return kitFile{packingList, []byte(b.String())}
}

// packed reads the names on a folder's packing list; ok is false when the folder is not ours.
func packed(folder string) (names []string, ok bool) {
	text, err := os.ReadFile(filepath.Join(folder, packingList))
	if err != nil {
		return nil, false
	}
	lines := strings.Split(string(text), "\n")
	if lines[0] != packingHead {
		return nil, false
	}
	for _, line := range lines[1:] {
		if _, name, found := strings.Cut(line, "  "); found {
			names = append(names, name)
		}
	}
	return append(names, packingList), true
}

// replaceable tells whether a folder may be replaced, and which of its entries are to be kept.
func (e *env) replaceable(folder string, files []kitFile) (kept []string, err error) {
	entries, err := os.ReadDir(folder)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, e.fileProblem("make the folder", folder, err)
	case len(entries) == 0:
		return nil, nil
	}
	ours, ok := packed(folder)
	if !ok {
		e.problem(fmt.Sprintf("%s holds files and was not made by this program", folder), "name a new folder with -o, or empty that one yourself")
		return nil, found
	}
	for _, entry := range entries {
		if slices.Contains(ours, entry.Name()) {
			continue
		}
		if slices.ContainsFunc(files, func(f kitFile) bool { return f.name == entry.Name() }) {
			e.problem(fmt.Sprintf("%s is your own file, and a new one of that name is to be written", filepath.Join(folder, entry.Name())),
				"give your file another name, or name a new folder with -o")
			return nil, found
		}
		kept = append(kept, entry.Name())
	}
	return kept, nil
}

// place gives the folder's true place. It refuses one that holds the folder we stand in: it could not be exchanged.
func (e *env) place(folder string) (string, error) {
	if folder == "" {
		e.problem("the folder to make has no name", "name it with -o, such as -o my-kit")
		return "", badUsage
	}
	if real, err := filepath.EvalSymlinks(folder); err == nil {
		folder = real
	}
	whole, err := filepath.Abs(folder)
	if err != nil {
		return "", e.fileProblem("find", folder, err)
	}
	here, err := os.Getwd()
	if err == nil {
		if inside, err := filepath.Rel(whole, here); err == nil && inside != ".." && !strings.HasPrefix(inside, ".."+string(filepath.Separator)) {
			e.problem(fmt.Sprintf("%s is the folder you are in, or holds it", folder), "name a new folder with -o")
			return "", badUsage
		}
	}
	return filepath.Clean(folder), nil
}

// fillFolder makes the folder hold the files, and what was laid beside them.
func (e *env) fillFolder(folder string, files []kitFile) (err error) {
	if folder, err = e.place(folder); err != nil {
		return err
	}
	kept, err := e.replaceable(folder, files)
	if err != nil {
		return err
	}
	parent := filepath.Dir(folder)
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return e.fileProblem("make the folder", parent, err)
	}
	fresh, err := os.MkdirTemp(parent, "."+filepath.Base(folder)+".new-")
	if err != nil {
		return e.fileProblem("make a folder in", parent, err)
	}
	defer func() {
		if err != nil {
			os.RemoveAll(fresh)
		}
	}()
	if err := os.Chmod(fresh, 0o755); err != nil {
		return e.fileProblem("make the folder", folder, err)
	}
	for _, f := range append(slices.Clone(files), pack(files)) {
		if err := os.WriteFile(filepath.Join(fresh, f.name), f.data, 0o644); err != nil {
			return e.fileProblem("write", filepath.Join(folder, f.name), err)
		}
	}
	for _, name := range kept {
		if err := copyEntry(filepath.Join(folder, name), filepath.Join(fresh, name)); err != nil {
			return e.fileProblem("keep", filepath.Join(folder, name), err)
		}
	}
	return e.exchange(fresh, folder)
}

// exchange puts the fresh folder in the old one's place. Should the last step fail, the old one goes back.
func (e *env) exchange(fresh, folder string) error {
	old := fresh + ".old"
	err := os.Rename(folder, old)
	had := err == nil
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return e.fileProblem("replace", folder, err)
	}
	if err := os.Rename(fresh, folder); err != nil {
		if had {
			err = errors.Join(err, os.Rename(old, folder))
		}
		return e.fileProblem("replace", folder, err)
	}
	if had {
		if err := os.RemoveAll(old); err != nil {
			e.tell("note: the folder before this one could not be removed; it is %s", old)
		}
	}
	return nil
}

// copyEntry copies a file or a folder with all in it.
func copyEntry(from, to string) error {
	info, err := os.Lstat(from)
	if err != nil {
		return err
	}
	switch {
	case info.IsDir():
		return os.CopyFS(to, os.DirFS(from))
	case info.Mode()&fs.ModeSymlink != 0:
		target, err := os.Readlink(from)
		if err != nil {
			return err
		}
		return os.Symlink(target, to)
	}
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	return os.WriteFile(to, data, info.Mode().Perm())
}
