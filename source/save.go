package source

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"lampwright/report"
)

// newFileMode is the mode of a file that did not exist before.
const newFileMode fs.FileMode = 0o644

// ownerWrites is the mode bit without which a file counts as protected.
const ownerWrites fs.FileMode = 0o200

// Save writes the file's text to path. At every moment, also after a loss of
// power, path holds either its old text or the new one as a whole. The mode of
// an existing file stays; a link is followed. A write-protected file is left
// alone. The error is a report.Diagnostic in the builder's words.
func (f *File) Save(path string) error { return f.SaveOn(TheDisk, path) }

// SaveOn is Save on a disk of the caller's.
func (f *File) SaveOn(disk Disk, path string) error {
	fail := func(what string, err error) error {
		return report.Errorf("save", report.Place{File: path}, "the file was not saved: %s (%s)", what, reason(err)).
			Because("the file on disk is as it was before").
			Do("check the folder, its permissions and the free space, then save again")
	}
	target, mode := disk.Resolve(path), newFileMode
	if info, err := disk.Stat(target); err == nil {
		switch {
		case info.IsDir():
			return fail("there is a folder of that name", errors.New("not a file"))
		case info.Mode()&ownerWrites == 0:
			return fail("it is write-protected", fs.ErrPermission)
		}
		mode = info.Mode().Perm()
	}
	folder := filepath.Dir(target)
	temporary, err := disk.CreateTemp(folder, "."+filepath.Base(target)+".*")
	if err != nil {
		return fail("no file can be made in its folder", err)
	}
	if err := fill(temporary, f.lines.original, mode); err != nil {
		disk.Remove(temporary.Name())
		return fail("it could not be written in full", err)
	}
	if err := disk.Rename(temporary.Name(), target); err != nil {
		disk.Remove(temporary.Name())
		return fail("it could not take the place of the old one", err)
	}
	if err := disk.SyncFolder(folder); err != nil {
		return report.Errorf("save", report.Place{File: path}, "the file was saved, but the disk did not confirm it (%s)", reason(err)).
			Do("save again")
	}
	return nil
}

// fill writes text to a file, brings it to the disk and closes it.
func fill(file DiskFile, text string, mode fs.FileMode) error {
	_, err := file.WriteString(text)
	if err == nil {
		err = file.Chmod(mode)
	}
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// reason gives the system's own word for a failure, without call and path.
func reason(err error) string {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		err = path.Err
	case errors.As(err, &link):
		err = link.Err
	}
	return err.Error()
}
