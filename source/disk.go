package source

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// Disk is what saving needs of a file system, one call a step, so that a test can let any of them fail.
type Disk interface {
	Resolve(path string) string                          // the file that links lead to, or path itself
	Stat(path string) (fs.FileInfo, error)               // of the file itself
	CreateTemp(folder, pattern string) (DiskFile, error) // a new file of its own name
	Rename(from, to string) error                        // replaces to at one stroke
	Remove(path string) error                            //
	SyncFolder(folder string) error                      // brings the folder's entries to the disk
	ReadFile(path string) ([]byte, error)                //
}

// DiskFile is a file that is being written.
type DiskFile interface {
	Name() string
	WriteString(text string) (int, error)
	Chmod(mode fs.FileMode) error
	Sync() error
	Close() error
}

// TheDisk is the machine's own file system.
var TheDisk Disk = osDisk{}

type osDisk struct{}

func (osDisk) Resolve(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	return path
}
func (osDisk) Stat(path string) (fs.FileInfo, error) { return os.Stat(path) }
func (osDisk) CreateTemp(folder, pattern string) (DiskFile, error) {
	f, err := os.CreateTemp(folder, pattern)
	if err != nil {
		return nil, err
	}
	return f, nil
}
func (osDisk) Rename(from, to string) error         { return os.Rename(from, to) }
func (osDisk) Remove(path string) error             { return os.Remove(path) }
func (osDisk) ReadFile(path string) ([]byte, error) { return os.ReadFile(path) }

// SyncFolder does nothing on Windows, which keeps a folder's entry with the file and offers no such call.
func (osDisk) SyncFolder(folder string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	handle, err := os.Open(folder)
	if err != nil {
		return err
	}
	return errors.Join(handle.Sync(), handle.Close())
}
