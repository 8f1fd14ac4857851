package source_test

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"lampwright/report"
	"lampwright/source"
)

func parsed(t *testing.T, text string) *source.File {
	t.Helper()
	file, list := source.Parse("a.yaml", []byte(text))
	if file == nil {
		t.Fatal(list)
	}
	return file
}

// only checks that a folder holds nothing but the named files.
func only(t *testing.T, folder string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var found []string
	for _, e := range entries {
		found = append(found, e.Name())
	}
	if strings.Join(found, " ") != strings.Join(names, " ") {
		t.Errorf("the folder holds %v, want %v", found, names)
	}
}

func TestSaveKeepsBytesAndMode(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "job.yaml")
	if err := os.WriteFile(path, []byte("title: old\n"), 0o640); err != nil {
		t.Fatal(err)
	}
	const text = "\ufefftitle: new  # kept\r\n"
	if err := parsed(t, text).Save(path); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if err != nil || string(got) != text {
		t.Errorf("saved %q (%v)", got, err)
	}
	if info, _ := os.Stat(path); runtime.GOOS != "windows" && info.Mode().Perm() != 0o640 {
		t.Errorf("the mode became %v", info.Mode())
	}
	only(t, folder, "job.yaml")
}

func TestSaveMakesANewFile(t *testing.T) {
	folder := t.TempDir()
	if err := parsed(t, "title: x\n").Save(filepath.Join(folder, "new.yaml")); err != nil {
		t.Fatal(err)
	}
	only(t, folder, "new.yaml")
}

func TestSaveFollowsALink(t *testing.T) {
	folder := t.TempDir()
	real, link := filepath.Join(folder, "real.yaml"), filepath.Join(folder, "link.yaml")
	if err := os.WriteFile(real, []byte("title: old\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(real, link); err != nil {
		t.Skip("no links here")
	}
	if err := parsed(t, "title: new\n").Save(link); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Error("the link was replaced")
	}
	if got, _ := os.ReadFile(real); string(got) != "title: new\n" {
		t.Errorf("the file holds %q", got)
	}
}

func TestAFailedSaveLeavesTheOldFile(t *testing.T) {
	folder := t.TempDir()
	protected := filepath.Join(folder, "protected.yaml")
	if err := os.WriteFile(protected, []byte("title: old\n"), 0o444); err != nil {
		t.Fatal(err)
	}
	file := parsed(t, "title: new\n")
	for _, path := range []string{protected, folder, filepath.Join(folder, "missing", "job.yaml")} {
		err := file.Save(path)
		d, ok := err.(report.Diagnostic)
		if !ok || d.Next == "" || strings.Contains(d.Text, "syscall") {
			t.Errorf("%s: %v", path, err)
		}
	}
	if got, _ := os.ReadFile(protected); string(got) != "title: old\n" {
		t.Errorf("the file holds %q", got)
	}
	only(t, folder, "protected.yaml")
}
