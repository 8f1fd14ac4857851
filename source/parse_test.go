package source_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/source"
)

// What stands at a path may be anything; the message says what it is and what to do.
func TestFilesThatAreNotRead(t *testing.T) {
	folder := t.TempDir()
	lay := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	lay("my-tail.yaml", "title: near")
	for _, c := range []struct{ path, says, next, near string }{
		{filepath.Join(folder, "my-tial.yaml"), "there is no such file", "check the name", filepath.Join(folder, "my-tail.yaml")},
		{filepath.Join(folder, "quite-another.yaml"), "there is no such file", "check the name", ""},
		{folder, "a folder, not a file", "name the file", ""},
		{lay("wide.yaml", "\xff\xfet\x00i\x00t\x00l\x00e\x00"), "UTF-16", "save the file as UTF-8", ""},
		{lay("wide-too.yaml", "\xfe\xff\x00t\x00i"), "UTF-16", "save the file as UTF-8", ""},
		{lay("program", "\x7fELF\x02\x01\x00\x00\x00\x00\x00"), "not a text file", "right file", ""},
		{lay("slip.yaml", "title: a\x00b"), "control character here (U+0000)", "delete it", ""},
		{lay("latin.yaml", "title: R\xfcck"), "not in UTF-8 here", "save the file as UTF-8", ""},
		{lay("huge.yaml", strings.Repeat("#", source.TextLimitBytes+1)), "too large", "right file", ""},
	} {
		file, list := source.Read(c.path)
		if file != nil || len(list) != 1 {
			t.Errorf("%s: read, or told %d times: %v", c.path, len(list), list)
			continue
		}
		d := list[0]
		if d.Place.File != c.path || !strings.Contains(d.Text, c.says) || !strings.Contains(d.Next, c.next) || d.Suggestion != c.near {
			t.Errorf("%s: %v, next %q, suggestion %q", c.path, d, d.Next, d.Suggestion)
		}
	}
}

// A device tells no size beforehand and never ends; it must be refused all the same.
func TestEndlessFile(t *testing.T) {
	if _, err := os.Stat("/dev/zero"); err != nil {
		t.Skip("this machine has no /dev/zero")
	}
	if file, list := source.Read("/dev/zero"); file != nil || !strings.Contains(list.Error(), "too large") {
		t.Errorf("read, or told %v", list)
	}
}

// A slip in a key is told once: the key that was meant is not missing as well.
func TestSlipInARequiredKey(t *testing.T) {
	var into struct {
		source.At
		Title string `yaml:"title" such:"Tail lamps"`
		Use   string `yaml:"use"`
	}
	for text, want := range map[string]string{
		"titel: a\nuse: b\n": `a.yaml:1:1: error: there is no key "titel" here`,
		"titel: a\n":         "a.yaml:1:1: error: the file needs the key use\na.yaml:1:1: error: there is no key \"titel\" here",
		"use: b\n":           "a.yaml:1:1: error: the file needs the key title",
		"":                   "a.yaml:1:1: error: nothing is written in the file",
	} {
		list := parsed(t, text).Decode(&into)
		list.Sort()
		if list.Error() != want {
			t.Errorf("%q:\n%v\nwant\n%s", text, list, want)
		}
		if text == "use: b\n" && list[0].Next != "add title: Tail lamps" {
			t.Errorf("next: %s", list[0].Next)
		}
	}
}
