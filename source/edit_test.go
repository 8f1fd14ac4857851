package source_test

import (
	"encoding/json"
	"strings"
	"testing"

	"lampwright/source"
	"lampwright/units"

	"github.com/google/go-cmp/cmp"
)

const editable = `# a lamp
lamps:
  one: {kind: x, note: y}   # first
  # about two
  two:
    kind:   "z"   # kind of two
    note: n
uses:
- a      # A
- b
empty:
steps: [
  1,  # one
  2
]
`

func TestEdits(t *testing.T) {
	for _, row := range []struct {
		name     string
		edit     source.Edit
		old, new string // the only piece that changes
	}{
		{"a quoted value", source.Set(source.ParsePath("lamps.two.kind"), "w"), `"z"`, `w`},
		{"a value in braces", source.Set(source.ParsePath("lamps.one.kind"), "a: b"), `{kind: x`, `{kind: "a: b"`},
		{"a quantity", source.Set(source.ParsePath("lamps.two.note"), 12*units.Millimetre), `note: n`, `note: 12 mm`},
		{"a whole mapping", source.Set(source.ParsePath("lamps.one"), source.Fields{{Key: "kind", Value: 3}}), `{kind: x, note: y}`, `{kind: 3}`},
		{"an empty key", source.Set(source.ParsePath("empty"), []any{1, "b c"}), "empty:", "empty: [1, b c]"},
		{"a new key by set", source.Set(source.ParsePath("lamps.one.width"), 2*units.Metre), "note: y}", "note: y, width: 2000 mm}"},
		{"a new key at the end", source.Insert(source.ParsePath("lamps.two"), "side", "LH"), "    note: n\n", "    note: n\n    side: LH\n"},
		{"a new key behind another", source.InsertAfter(source.ParsePath("lamps.two"), "kind", "side", "LH"), "# kind of two\n", "# kind of two\n    side: LH\n"},
		{"a key into nothing", source.Insert(source.ParsePath("empty"), "a", 1), "empty:", "empty: {a: 1}"},
		{"another name", source.Rename(source.ParsePath("lamps.two"), "three"), "  two:", "  three:"},
		{"without a key", source.Delete(source.ParsePath("lamps.two.kind")), "    kind:   \"z\"   # kind of two\n", ""},
		{"without a key in braces", source.Delete(source.ParsePath("lamps.one.note")), ", note: y", ""},
		{"without the first in braces", source.Delete(source.ParsePath("lamps.one.kind")), "kind: x, ", ""},
		{"without a lamp", source.Delete(source.ParsePath("lamps.two")), "  two:\n    kind:   \"z\"   # kind of two\n    note: n\n", ""},
		{"without an item", source.Delete(source.ParsePath("uses.0")), "- a      # A\n", ""},
		{"one more item", source.Append(source.ParsePath("uses"), "c"), "- b\n", "- b\n- c\n"},
		{"an item in front", source.AddBefore(source.ParsePath("uses"), 0, "c"), "- a ", "- c\n- a "},
		{"an item between", source.AddBefore(source.ParsePath("uses"), 1, "c"), "# A\n", "# A\n- c\n"},
		{"an item in brackets", source.Append(source.ParsePath("steps"), 3), "  2\n", "  2, 3\n"},
		{"without the last in brackets", source.Delete(source.ParsePath("steps.1")), "1,  # one\n  2\n", "1  # one\n"},
		{"without the first in brackets", source.Delete(source.ParsePath("steps.0")), "\n  1,  # one", ""},
		{"an item into nothing", source.Append(source.ParsePath("empty"), "a"), "empty:", "empty: [a]"},
	} {
		if strings.Count(editable, row.old) != 1 {
			t.Fatalf("%s: %q stands %d times", row.name, row.old, strings.Count(editable, row.old))
		}
		for _, ends := range []string{"\n", "\r\n"} {
			text := strings.ReplaceAll(editable, "\n", ends)
			want := strings.ReplaceAll(strings.Replace(editable, row.old, row.new, 1), "\n", ends)
			next, list := parsed(t, text).Apply(row.edit)
			if next == nil {
				t.Errorf("%s: %v", row.name, list)
			} else if string(next.Text()) != want {
				t.Errorf("%s: got\n%s\nwant\n%s", row.name, next.Text(), want)
			}
		}
	}
}

func TestRefusedEdits(t *testing.T) {
	file := parsed(t, editable)
	for name, edit := range map[string]source.Edit{
		"nowhere":           source.Set(source.ParsePath("lamps.three.kind"), "x"),
		"below a text":      source.Set(source.ParsePath("lamps.two.kind.a"), "x"),
		"the whole":         source.Set(nil, "x"),
		"no value":          source.Set(source.ParsePath("empty"), nil),
		"a strange value":   source.Set(source.ParsePath("empty"), struct{}{}),
		"a key that exists": source.Insert(source.ParsePath("lamps"), "one", "x"),
		"behind nothing":    source.InsertAfter(source.ParsePath("lamps"), "nine", "x", "y"),
		"a key in a list":   source.Insert(source.ParsePath("uses"), "x", "y"),
		"an item in keys":   source.Append(source.ParsePath("lamps"), "x"),
		"far away":          source.AddBefore(source.ParsePath("uses"), 9, "x"),
		"a name twice":      source.Rename(source.ParsePath("lamps.two"), "one"),
		"a name in a list":  source.Rename(source.ParsePath("uses.0"), "one"),
		"twice in a value":  source.Set(source.ParsePath("empty"), source.Fields{{Key: "a", Value: 1}, {Key: "a", Value: 2}}),
		"no kind":           {Op: "shake", Path: source.ParsePath("empty")},
		"too long":          source.Set(source.ParsePath("empty"), strings.Repeat("x", source.StringLimitRunes+1)),
	} {
		next, list := file.Apply(edit)
		if next != nil || len(list) != 1 || list[0].ID != "edit" || list[0].Next == "" {
			t.Errorf("%s: %v", name, list)
		}
		if string(file.Text()) != editable {
			t.Fatalf("%s changed the file", name)
		}
	}
}

func TestSeveralEditsAreAllOrNone(t *testing.T) {
	file := parsed(t, editable)
	if next, _ := file.Apply(source.Delete(source.ParsePath("uses")), source.Delete(source.ParsePath("uses"))); next != nil {
		t.Error("half of the edits were made")
	}
	next, list := file.Apply(source.Delete(source.ParsePath("uses.0")), source.Set(source.ParsePath("uses.0"), "c"))
	if next == nil || !strings.Contains(string(next.Text()), "uses:\n- c\n") {
		t.Errorf("%v", list)
	}
}

// An edit is data: it survives a journey as JSON, with the order of its keys.
func TestEditsAreData(t *testing.T) {
	for _, edit := range []source.Edit{
		source.Set(source.ParsePath("lamps.two.kind"), "w"),
		source.Set(source.ParsePath("empty"), source.Fields{{Key: "z", Value: 1}, {Key: "a", Value: []any{true, 1.5, source.Fields{}}}}),
		source.InsertAfter(source.ParsePath("lamps"), "one", "new", source.Fields{{Key: "kind", Value: "k"}}),
		source.AddBefore(source.ParsePath("uses"), 1, "c"),
		source.Append(source.ParsePath("uses"), "c"),
		source.Delete(source.ParsePath("uses.1")),
		source.Rename(source.ParsePath("uses"), "used"),
	} {
		text, err := json.Marshal(edit)
		if err != nil {
			t.Fatal(err)
		}
		var back source.Edit
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(edit, back); diff != "" {
			t.Errorf("%s: %s", text, diff)
		}
		next, list := parsed(t, editable).Apply(back)
		if next == nil {
			t.Errorf("%s: %v", text, list)
		}
	}
	for _, bad := range []string{`{"op": 1}`, `[`, `{"op":"set","value":{"a"}}`} {
		var edit source.Edit
		if err := json.Unmarshal([]byte(bad), &edit); err == nil {
			t.Errorf("%s was read as %+v", bad, edit)
		}
	}
}
