package source_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/source"
)

func TestFormatTidies(t *testing.T) {
	paths, err := filepath.Glob("testdata/format/*.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("nothing to format: %v", err)
	}
	for _, path := range paths {
		file, list := source.Read(path)
		if file == nil {
			t.Fatal(list)
		}
		tidy, list := file.Format()
		if tidy == nil {
			t.Fatal(list)
		}
		golden := strings.TrimSuffix(path, ".yaml") + ".golden"
		if os.Getenv("UPDATE_GOLDEN") == "1" {
			if err := os.WriteFile(golden, tidy.Text(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if string(tidy.Text()) != string(want) {
			t.Errorf("%s: got\n%s\nwant\n%s", path, tidy.Text(), want)
		}
		again, list := tidy.Format()
		if again == nil || string(again.Text()) != string(want) {
			t.Errorf("%s changes when formatted again: %v", path, list)
		}
	}
}

func TestFormatKeepsLineEndsAndMark(t *testing.T) {
	tidy, list := parsed(t, "\ufefftitle:   x\r\nlamps:\r\n    a: {kind:   y}\r\n").Format()
	if tidy == nil {
		t.Fatal(list)
	}
	if got := string(tidy.Text()); got != "\ufefftitle: x\r\nlamps:\r\n  a: {kind: y}\r\n" {
		t.Errorf("%q", got)
	}
}
