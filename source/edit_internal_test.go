package source

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// places lists the paths of all values below n.
func places(n *node, at Path) (paths []Path) {
	for i := range len(n.entries) + len(n.items) {
		step := Index(i)
		if n.kind == Mapping {
			step = n.entries[i].key.text
		}
		path := at.With(step)
		paths = append(paths, path)
		paths = append(paths, places(n.child(i), path)...)
	}
	return paths
}

// corpus gives the parsed test files, with both kinds of line ends, with a
// byte order mark, and without a last line end.
func corpus(tb testing.TB) (files []*File) {
	tb.Helper()
	names, err := filepath.Glob("testdata/*.yaml")
	if err != nil || len(names) == 0 {
		tb.Fatalf("no files in testdata: %v", err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		for _, variant := range []string{
			string(text),
			strings.ReplaceAll(string(text), "\n", "\r\n"),
			byteOrderMark + string(text),
			strings.TrimRight(string(text), "\n"),
		} {
			file, list := Parse(name, []byte(variant))
			if file == nil {
				tb.Fatalf("%s: %v", name, list)
			}
			files = append(files, file)
		}
	}
	return files
}

func anyValue() *rapid.Generator[any] {
	return rapid.Custom(func(t *rapid.T) any {
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0:
			return rapid.IntRange(-99, 99).Draw(t, "number")
		case 1:
			return rapid.SampledFrom([]any{true, 1.5, "120 mm", "1..12", "~", "", "a: b", "#x", "- y", "{", "null", "a'b\"c", "ü é", "x #y", "tab\tend", "two\nlines", "12", "-3 dB"}).Draw(t, "special")
		case 2:
			return rapid.String().Draw(t, "text")
		case 3:
			return Fields{{"name", rapid.StringMatching(`[a-z]{1,8}`).Draw(t, "name")}, {"at", []any{1, "2 mm"}}}
		case 4:
			return []string{"a", "b"}
		}
		return []any{}
	})
}

// outside checks that only lines between the first and last line of a value
// (0-based, in the old text) changed.
func outside(t *rapid.T, before, after *File, first, last int) {
	t.Helper()
	if before.lines.mark != after.lines.mark {
		t.Fatal("the byte order mark was lost")
	}
	mark := before.lines.mark
	a, b := strings.SplitAfter(before.lines.original[mark:], "\n"), strings.SplitAfter(after.lines.original[mark:], "\n")
	for i := range min(first, len(a)) {
		if i >= len(b) || a[i] != b[i] {
			t.Fatalf("line %d before the edit changed:\n%s\nnow:\n%s", i+1, before.lines.text, after.lines.text)
		}
	}
	for i := 1; len(a)-i > last; i++ {
		if i > len(b) || a[len(a)-i] != b[len(b)-i] {
			t.Fatalf("a line behind the edit changed (lines %d to %d were meant):\n%s\nnow:\n%s", first+1, last+1, before.lines.text, after.lines.text)
		}
	}
}

func TestEditsChangeOnlyWhatTheyMean(t *testing.T) {
	files := corpus(t)
	refused, made := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		file := rapid.SampledFrom(files).Draw(t, "file")
		path := rapid.SampledFrom(places(file.root, nil)).Draw(t, "path")
		value, parent, index, _ := file.root.follow(path)
		start, _, end := slot{file, parent, index}.bounds()
		first, last := file.lines.lineOf(start), file.lines.lineOf(end)
		var e Edit
		switch op := rapid.SampledFrom([]Op{OpSet, OpInsert, OpRename, OpDelete, OpAdd}).Draw(t, "op"); op {
		case OpSet:
			e = Set(path, anyValue().Draw(t, "value"))
		case OpRename:
			e = Rename(path, "new-name")
		case OpDelete:
			e = Delete(path)
			if siblings := len(parent.entries) + len(parent.items); siblings == 1 {
				// What is emptied becomes {} or [] beside its own key.
				if holder, found := file.slotOf(file.root, parent); found {
					s, _, _ := holder.bounds()
					first = file.lines.lineOf(s)
				}
			} else if parent.flow && index == siblings-1 {
				// The comma before the last one goes with it.
				_, _, before := slot{file, parent, index - 1}.bounds()
				first = file.lines.lineOf(before)
			} else if !file.lines.blankBefore(start) || parent.flow {
				next, _, _ := slot{file, parent, index + 1}.bounds()
				last = max(last, file.lines.lineOf(next))
			}
		case OpInsert:
			e = Insert(path, "new-key", anyValue().Draw(t, "value"))
		case OpAdd:
			e = AddBefore(path, rapid.IntRange(-1, len(value.items)).Draw(t, "index"), anyValue().Draw(t, "value"))
		}
		next, list := file.Apply(e)
		if next == nil {
			if len(list) != 1 || list[0].Next == "" {
				t.Fatalf("a refusal says %v", list)
			}
			refused++
			return
		}
		made++
		outside(t, file, next, first, last)
		if strings.Contains(file.lines.original, "\r\n") && strings.Count(next.lines.original, "\n") != strings.Count(next.lines.original, "\r\n") {
			t.Fatalf("line ends were mixed: %q", next.lines.original)
		}
		read, _, _, taken := next.root.follow(path)
		switch e.Op {
		case OpSet:
			w, err := write(e.Value)
			if err != nil || taken != len(path) || !same(read, w.node) {
				t.Fatalf("set %v reads back as %+v", e.Value, read)
			}
		case OpDelete:
			if parent.kind == Mapping && taken == len(path) {
				t.Fatal("the key is still there")
			}
		case OpInsert:
			if read.find("new-key") < 0 {
				t.Fatal("the key is not there")
			}
		case OpAdd:
			if len(read.items) != len(value.items)+1 {
				t.Fatal("the item is not there")
			}
		}
		for _, comment := range file.comments() {
			if e.Op != OpDelete && e.Op != OpSet && !slices.Contains(next.comments(), comment) {
				t.Fatalf("the comment %q is lost", comment)
			}
		}
	})
	// Inserting into what is no mapping, adding to what is no list and renaming
	// items is refused by right; anything near all would be a fault.
	if made < refused/2 || made == 0 {
		t.Fatalf("%d edits made, %d refused", made, refused)
	}
}

func TestEveryScalarCanBeSet(t *testing.T) {
	for _, file := range corpus(t) {
		for _, path := range places(file.root, nil) {
			value, _, _, _ := file.root.follow(path)
			next, list := file.Apply(Set(path, "9 mm"))
			if next == nil {
				t.Errorf("%s %s: %v", file.Name, path, list)
				continue
			}
			if value.kind == Scalar && value.style == 0 && !strings.Contains(file.lines.text[value.start:value.end], "\n") {
				if a, b := len(strings.Split(file.lines.original, "\n")), len(strings.Split(next.lines.original, "\n")); a != b {
					t.Errorf("%s %s: %d lines became %d", file.Name, path, a, b)
				}
			}
			if next, list := file.Apply(Delete(path)); next == nil {
				t.Errorf("delete %s %s: %v", file.Name, path, list)
			}
		}
	}
}

func FuzzEdit(f *testing.F) {
	for _, file := range corpus(f) {
		f.Add(file.lines.original, "value", uint16(3), uint8(0))
	}
	f.Fuzz(func(t *testing.T, text, value string, choice uint16, op uint8) {
		file, _ := Parse("fuzz.yaml", []byte(text))
		if file == nil {
			return
		}
		paths := places(file.root, nil)
		if len(paths) == 0 || len(paths) > 5000 {
			return
		}
		path := paths[int(choice)%len(paths)]
		edit := Edit{Op: []Op{OpSet, OpInsert, OpRename, OpDelete, OpAdd}[op%5], Path: path, Key: "new", Index: -1, Value: value}
		next, list := file.Apply(edit)
		if (next == nil) != list.HasErrors() {
			t.Fatalf("%v", list)
		}
		if next != nil && edit.Op == OpSet {
			if read, _, _, taken := next.root.follow(path); taken != len(path) || read.text != value {
				t.Fatalf("set %q, read %q", value, read.text)
			}
		}
	})
}

func FuzzFormat(f *testing.F) {
	for _, file := range corpus(f) {
		f.Add(file.lines.original)
	}
	f.Fuzz(func(t *testing.T, text string) {
		file, _ := Parse("fuzz.yaml", []byte(text))
		if file == nil {
			return
		}
		once, list := file.Format()
		if (once == nil) != list.HasErrors() {
			t.Fatalf("%v", list)
		}
		if once == nil {
			return
		}
		if !same(file.root, once.root) {
			t.Fatal("the meaning changed")
		}
		twice, _ := once.Format()
		if twice == nil || twice.lines.original != once.lines.original {
			t.Fatalf("formatting again changes %q", once.lines.original)
		}
	})
}

// Edits that are made together come out as they do one after another, to the byte.
func TestTogetherIsOneAfterAnother(t *testing.T) {
	files := corpus(t)
	joined := 0
	rapid.Check(t, func(t *rapid.T) {
		file := rapid.SampledFrom(files).Draw(t, "file")
		paths := places(file.root, nil)
		var edits []Edit
		for range rapid.IntRange(2, 6).Draw(t, "edits") {
			path := rapid.SampledFrom(paths).Draw(t, "path")
			if rapid.Bool().Draw(t, "rename") {
				edits = append(edits, Rename(path, rapid.SampledFrom([]string{"new-name", "other", path[len(path)-1]}).Draw(t, "key")))
			} else {
				edits = append(edits, Set(path, anyValue().Draw(t, "value")))
			}
		}
		single := file
		for _, e := range edits {
			if single != nil {
				single, _ = single.Apply(e)
			}
		}
		all, _ := file.Apply(edits...)
		if (single == nil) != (all == nil) {
			t.Fatalf("%v\nchanged one after another: %v, together: %v", edits, single != nil, all != nil)
		}
		if all == nil {
			return
		}
		if all.lines.original != single.lines.original {
			t.Fatalf("one after another:\n%s\ntogether:\n%s", single.lines.original, all.lines.original)
		}
		if n := apart(edits); n > 1 && file.together(edits[:n]) != nil {
			joined++
		}
	})
	if joined == 0 {
		t.Error("no edits were made together")
	}
}
