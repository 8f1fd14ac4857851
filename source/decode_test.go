package source_test

import (
	"strings"
	"testing"

	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

// faults parses and decodes a text that is well formed YAML.
func faults(t *testing.T, text string) report.List {
	t.Helper()
	file, list := source.Parse("a.yaml", []byte(text))
	if file == nil {
		t.Fatalf("%q: %v", text, list)
	}
	var s sample
	return file.Decode(&s)
}

func TestFaultsOfValues(t *testing.T) {
	for _, row := range []struct{ text, want string }{
		{"titel: x", `1:1 unknown-key there is no key "titel" here (title)`},
		{"title: x\ntitle: y", `2:1 duplicate-key the key "title" is written twice ()`},
		{"title:", `1:1 no-value nothing is written for "title" ()`},
		{"title: null", `1:1 no-value nothing is written for "title" ()`},
		{"title: ~", `1:1 no-value nothing is written for "title" ()`},
		{"title: [a]", `1:8 wrong-kind "title" cannot be a list ()`},
		{"title: {a: b}", `1:8 wrong-kind "title" cannot be keys with values ()`},
		{"title: a text of more than twenty", `1:8 out-of-range "title" is too long ()`},
		{"count: x", `1:8 wrong-kind "count" cannot be "x" ()`},
		{"count: 1.0", `1:8 wrong-kind "count" cannot be "1.0" ()`},
		{"count: 010", `1:8 wrong-kind "count" cannot be "010" ()`},
		{"count: 0x1", `1:8 wrong-kind "count" cannot be "0x1" ()`},
		{"count: 1_0", `1:8 wrong-kind "count" cannot be "1_0" ()`},
		{`count: "3"`, `1:8 wrong-kind "count" cannot be "3" ()`},
		{"count: 99999999999999999999", `1:8 wrong-kind "count" cannot be "99999999999999999999" ()`},
		{"count: 0", `1:8 out-of-range "count" is too small ()`},
		{"count: 10", `1:8 out-of-range "count" is too large ()`},
		{"ratio: .5", `1:8 wrong-kind "ratio" cannot be ".5" ()`},
		{"ratio: .inf", `1:8 wrong-kind "ratio" cannot be ".inf" ()`},
		{"ratio: 1e3", `1:8 wrong-kind "ratio" cannot be "1e3" ()`},
		{"ratio: 0", `1:8 out-of-range "ratio" is too small ()`},
		{"closed: yes", `1:9 wrong-kind "closed" cannot be "yes" (true)`},
		{"closed: 'true'", `1:9 wrong-kind "closed" cannot be "true" (true)`},
		{"closed: Off", `1:9 wrong-kind "closed" cannot be "Off" (false)`},
		{"closed: perhaps", `1:9 wrong-kind "closed" cannot be "perhaps" ()`},
		{"width: 12", `1:8 bad-quantity "width" cannot be "12": the number has no unit ()`},
		{"width: 12 V", `1:8 bad-quantity "width" cannot be "12 V": "V" is not one of its units ()`},
		{"width: 0.5 mm", `1:8 out-of-range "width" is too small ()`},
		{"width: 40 in", `1:8 out-of-range "width" is too large ()`},
		{"side: lh", `1:7 bad-value "side" cannot be "lh" (LH)`},
		{"uses: A b", `1:7 bad-name "A b" cannot be a name: it does not begin with a lower-case letter (a-b)`},
		{"uses: [a, b, c, d]", `1:7 out-of-range "uses" is too long ()`},
		{"lamps: [a]", `1:8 wrong-kind "lamps" cannot be a list ()`},
		{"lamps: {a: {}}", `1:12 missing-key "a" needs the key kind ()`},
		{"lamps:\n  a:\n", `2:3 no-value nothing is written for "a" ()`},
		{"lamps: {a: {kind: x}, a: {kind: y}}", `1:23 duplicate-key the key "a" is written twice ()`},
		{"lamps: {note: {kind: x}}", `1:9 bad-name "note" cannot be a name: note is kept for free text ()`},
		{"lamps: {-a-: {kind: x}}", `1:9 bad-name "-a-" cannot be a name: it does not begin with a lower-case letter (a)`},
		{"lamps: {höhe_é: {kind: x}}", `1:9 bad-name "höhe_é" cannot be a name: it holds "ö" (hoehe-e)`},
		{"lamps: {灯-lh: {kind: x}}", `1:9 bad-name "灯-lh" cannot be a name: it does not begin with a lower-case letter ()`},
		{"lamps: {a--b: {kind: x}}", `1:9 bad-name "a--b" cannot be a name: it has two hyphens in a row (a-b)`},
		{"steps: []", `1:8 out-of-range "steps" is too short ()`},
		{"steps: [{}]", `1:9 missing-key item 1 of "steps" is empty ()`},
		{"steps: [{step: {kind: a}, rest: {kind: b}}]", `1:27 too-many-keys item 1 of "steps" holds step and rest, and only one can stand here ()`},
		{"steps: [{stop: {kind: a}}]", `1:10 unknown-key there is no key "stop" here (step)`},
		{"order: {a: {kind: x}}", `1:8 wrong-kind "order" cannot be keys with values ()`},
		{"order:\n  - a: {kind: x}\n  - a: {kind: x}\n", `3:5 duplicate-key the key "a" is written twice ()`},
		{"order:\n  - a: {kind: x}\n    b: {kind: x}\n", `3:5 too-many-keys item 1 of "order" holds more than one name ()`},
		{"- a", `1:1 wrong-kind the file cannot be a list ()`},
		{"word", `1:1 wrong-kind the file cannot be "word" ()`},
		{"note: [a]", `1:7 wrong-kind "note" cannot be a list ()`},
	} {
		list := faults(t, row.text)
		var got []string
		for _, d := range list {
			place := strings.TrimPrefix(d.Place.String(), "a.yaml:")
			got = append(got, place+" "+d.ID+" "+d.Text+" ("+d.Suggestion+")")
			if d.Line == "" || d.Next == "" {
				t.Errorf("%q: incomplete %+v", row.text, d)
			}
		}
		if strings.Join(got, "\n") != row.want {
			t.Errorf("%q:\ngot  %s\nwant %s", row.text, strings.Join(got, "\n     "), row.want)
		}
	}
}

func TestAllFaultsComeAtOnceAndInOrder(t *testing.T) {
	list := faults(t, "count: x\nwidth: 3\nsied: LH\nlamps:\n  a: {kind: [1]}\n  B: {kind: x}\n")
	var lines []int
	for _, d := range list {
		lines = append(lines, d.Place.Line)
	}
	if len(lines) != 5 || lines[0] != 1 || lines[4] != 6 {
		t.Errorf("faults on lines %v", lines)
	}
}

func TestPlacesOfValues(t *testing.T) {
	file, list := source.Parse("a.yaml", []byte("\ufeff# größe\r\nlamps:\r\n  eins:   {kind: \"ü\", note: n}  # c\r\nwidth: 3 mm\r\ninner:\r\n  kind: |\r\n    two\r\n    lines\r\n"))
	if file == nil {
		t.Fatal(list)
	}
	var s sample
	if list := file.Decode(&s); len(list) > 0 {
		t.Fatal(list)
	}
	if p := s.Lamps.Place("eins"); p.Line != 3 || p.Column != 3 || p.Length != 4 {
		t.Errorf("the name stands at %v", p)
	}
	one, _ := s.Lamps.Get("eins")
	if p := one.PlaceOf("note"); p.Line != 3 || p.Column != 23 || p.Length != 4 {
		t.Errorf("the note stands at %v", p)
	}
	if one.Kind != "ü" || one.Note != "n" || !one.Has("note") || one.Has("nothing") || one.PlaceOf("nothing") != one.Where {
		t.Errorf("%+v", one)
	}
	if p := s.Lamps.ValuePlace("eins"); p.Column != 11 || p.Length != len(`{kind: "ü", note: n}`)-1 {
		t.Errorf("the value stands at %v", p)
	}
	if p := s.Width.Where; p.Line != 4 || p.Column != 8 || p.Length != 4 || s.Width.Value != 3*units.Millimetre {
		t.Errorf("the width %v stands at %v", s.Width.Value, p)
	}
	if s.Inner.Kind != "two\nlines\n" {
		t.Errorf("the block text is %q", s.Inner.Kind)
	}
}

func TestOrderIsKept(t *testing.T) {
	file, _ := source.Parse("a.yaml", []byte("lamps: {z: {kind: a}, note: n, b: {kind: b}}\norder: [{y: {kind: c}}, {a: {kind: d}}]\n"))
	var got sample
	if list := file.Decode(&got); len(list) > 0 {
		t.Fatal(list)
	}
	if keys := strings.Join(append(got.Lamps.Keys(), got.Order.Keys()...), " "); keys != "z b y a" || got.Lamps.Note != "n" {
		t.Errorf("keys %s", keys)
	}
}

func TestAbsentIsNotZero(t *testing.T) {
	var s sample
	file, _ := source.Parse("a.yaml", []byte("title: t\n"))
	if list := file.Decode(&s); len(list) > 0 {
		t.Fatal(list)
	}
	if s.Width.Given() || s.Width.Or(7) != 7 || s.Lamps.Len() != 0 || s.Inner != nil {
		t.Errorf("%+v", s)
	}
}

func TestLimitsHold(t *testing.T) {
	for name, text := range map[string]string{
		"bytes":            strings.Repeat("# comment\n", source.TextLimitBytes/10+1),
		"levels, brackets": "title: " + strings.Repeat("[", source.DepthLimit+2),
		"levels, dashes":   strings.Repeat("- ", source.DepthLimit+2) + "a",
		"values":           "times: [" + strings.Repeat("1,", source.NodeLimit+1) + "1]",
		"keys":             strings.Repeat("a: b\n", source.KeyLimit+1),
		"one text":         "title: " + strings.Repeat("x", source.StringLimitRunes+1),
		"one block text":   "title: |\n" + strings.Repeat("  xxxxxxx\n", source.StringLimitRunes/8+1),
	} {
		file, list := source.Parse("a.yaml", []byte(text))
		if file != nil || len(list) == 0 || list[0].ID != "limit" {
			t.Errorf("%s: %v", name, list)
		}
	}
	file, _ := source.Parse("a.yaml", []byte("times: ["+strings.Repeat("1,", 3*source.FaultLimit)+"1]"))
	var s sample
	if list := file.Decode(&s); len(list) != source.FaultLimit || list[len(list)-1].ID != "limit" {
		t.Errorf("%d faults were listed", len(list))
	}
	if name := strings.Repeat("a", source.NameLimitRunes+1); source.NameProblem(name) == "" || source.NameProblem(name[1:]) != "" {
		t.Error("the length of a name is not held")
	}
}

func TestRefusedTexts(t *testing.T) {
	for text, id := range map[string]string{
		"a: &x b\nc: *x\n":       "not-read",
		"a: *x\n":                "not-read",
		"<<: {a: b}\n":           "not-read",
		"a: !!str b\n":           "not-read",
		"? a\n: b\n":             "not-read",
		"%YAML 1.2\n---\na: b\n": "not-read",
		"a: b\n---\nc: d\n":      "not-read",
		"a: b\n...\n":            "not-read",
		"a: \x00\n":              "characters",
		"a: \x1b[1m\n":           "characters",
		"a: \xff\n":              "characters",
		"a: b\rc: d\n":           "characters",
		"a: \u2028\n":            "characters",
		"a: {b, c}\n":            "no-value",
		"a: {b: }\n":             "no-value",
		"a: [1, 2\n":             "syntax",
		"a: {b: 1\n":             "syntax",
		"a: 'b\n":                "syntax",
		"a: \"b\n":               "syntax",
		"a: b: c\n":              "syntax",
		"a: ]\n":                 "syntax",
		"\ta: b\n":               "syntax",
		"a:\n  b: 1\n c: 2\n":    "syntax",
		"a: - b\n":               "syntax",
		"a: @b\n":                "syntax",
		"a: \"\\q\"\n":           "syntax",
	} {
		file, list := source.Parse("a.yaml", []byte(text))
		if file != nil || len(list) == 0 {
			t.Errorf("%q was read", text)
			continue
		}
		if list[0].ID != id || list[0].Next == "" || list[0].Place.Line == 0 {
			t.Errorf("%q: %+v", text, list[0])
		}
	}
	// One heading line is usual elsewhere, and harmless.
	if file, list := source.Parse("a.yaml", []byte("# c\n---\ntitle: x\n")); file == nil {
		t.Error(list)
	}
}
