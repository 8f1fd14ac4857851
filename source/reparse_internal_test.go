package source

import (
	"reflect"
	"strings"
	"testing"

	"lampwright/examples"

	"pgregory.net/rapid"
)

// sameReading checks that a text read by what differs is what it is when it is read as a whole; it tells whether anything was taken over.
func sameReading(t interface{ Fatalf(string, ...any) }, file *File, text string) bool {
	whole, faults := Parse(file.Name, []byte(text))
	next, list := file.Reparse([]byte(text))
	if !reflect.DeepEqual(faults, list) {
		t.Fatalf("faults %v, read as a whole %v\nbefore:\n%s\nnow:\n%s", list, faults, file.lines.original, text)
	}
	if !reflect.DeepEqual(next, whole) {
		t.Fatalf("read otherwise than as a whole\nbefore:\n%s\nnow:\n%s", file.lines.original, text)
	}
	return file.patched(text) != nil
}

// slips are what a hand or a program may put into a text anywhere.
var slips = []string{"", "\n", " ", "  ", "\t", "\r", "\r\n", "x", ": ", "key: 1\n", "  - a\n", "- ", "#", " # c\n", "[", "]", "{", "}", ",", "'", "\"", "|\n", ">", "---\n", "...\n",
	"\ufeff", "x:\n", "    deep: [1,\n2]\n", "&a ", "?", "é", "\x00", "~", "null"}

func TestReparseReadsAsParseDoes(t *testing.T) {
	files := corpus(t)
	pickup, _ := Parse("pickup.yaml", examples.Pickup)
	files = append(files, pickup)
	taken, read := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		var file *File
		if rapid.Bool().Draw(t, "written") {
			file = rapid.SampledFrom(files).Draw(t, "file")
		} else {
			file, _ = (&author{t: t}).document()
		}
		for range 8 {
			text := file.lines.original
			from := rapid.IntRange(0, len(text)).Draw(t, "from")
			to := min(len(text), from+rapid.SampledFrom([]int{0, 0, 1, 2, 5, 40}).Draw(t, "gone"))
			if rapid.Bool().Draw(t, "lines") { // whole lines
				from = strings.LastIndexByte(text[:from], '\n') + 1
				if end := strings.IndexByte(text[to:], '\n'); end >= 0 {
					to += end + 1
				}
			}
			text = text[:from] + rapid.SampledFrom(slips).Draw(t, "slip") + text[to:]
			read++
			if sameReading(t, file, text) {
				taken++
			}
			if next, _ := Parse(file.Name, []byte(text)); next != nil {
				file = next
			}
		}
	})
	if taken < read/10 {
		t.Errorf("of %d texts %d were read by what differs", read, taken)
	}
}

// What edits make is read by what differs, from one to the next.
func TestReparseFollowsEdits(t *testing.T) {
	files := corpus(t)
	pickup, _ := Parse("pickup.yaml", examples.Pickup)
	files = append(files, pickup, pickup, pickup)
	taken, read := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		file := rapid.SampledFrom(files).Draw(t, "file")
		for range 5 {
			paths := places(file.root, nil)
			if len(paths) == 0 {
				return
			}
			path := rapid.SampledFrom(paths).Draw(t, "path")
			e := rapid.SampledFrom([]Edit{Set(path, "9 mm"), Delete(path), Insert(path, "new", Fields{{"a", 1}}), AddBefore(path, 0, "new"), Append(path, "last"),
				Rename(path, "other"), Move(path, 0), Set(path, Below{Fields{{"a", []any{1}}, {"b", "c: d"}}})}).Draw(t, "edit")
			next, _ := file.Apply(e)
			if next == nil {
				continue
			}
			read++
			if sameReading(t, file, next.lines.original) {
				taken++
			}
			sameReading(t, next, file.lines.original)
			file = next
		}
	})
	if taken < read/3 {
		t.Errorf("of %d texts %d were read by what differs", read, taken)
	}
}

func FuzzReparse(f *testing.F) {
	for _, file := range corpus(f) {
		f.Add(file.lines.original, "key: x\n", uint16(40), uint16(3))
	}
	f.Fuzz(func(t *testing.T, text, slip string, from, gone uint16) {
		file, _ := Parse("fuzz.yaml", []byte(text))
		if file == nil {
			return
		}
		at := int(from) % (len(text) + 1)
		sameReading(t, file, text[:at]+slip+text[min(len(text), at+int(gone)):])
	})
}
