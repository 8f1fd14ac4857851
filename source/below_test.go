package source

import "testing"

func TestWhatIsWrittenBelowItsKey(t *testing.T) {
	lamp := Below{Fields{
		{"place", Fields{{"end", "rear"}}},
		{"leds", Below{[]any{Fields{{"led", Fields{{"name", "a"}}}}, Fields{{"led", Fields{{"name", "b"}}}}}}},
		{"zones", Below{Fields{}}},
	}}
	for _, c := range []struct {
		name, text string
		edits      []Edit
		want       string
	}{
		{"in a mapping on lines", "lamps:\n  one: {a: 1}   # first\nmodules: {}\n", []Edit{Insert(Path{"lamps"}, "two", lamp)},
			"lamps:\n  one: {a: 1}   # first\n  two:\n    place: {end: rear}\n    leds:\n      - led: {name: a}\n      - led: {name: b}\n    zones: {}\nmodules: {}\n"},
		{"as a key that is missing", "lamps:\n  one:\n    place: {}\n", []Edit{Set(Path{"lamps", "one", "leds"}, Below{[]any{Fields{{"led", 1}}}}), Append(Path{"lamps", "one", "leds"}, Fields{{"led", 2}})},
			"lamps:\n  one:\n    place: {}\n    leds:\n      - led: 1\n      - led: 2\n"},
		{"in brackets", "lamps: {one: {a: 1}}\n", []Edit{Insert(Path{"lamps"}, "two", lamp)},
			"lamps: {one: {a: 1}, two: {place: {end: rear}, leds: [{led: {name: a}}, {led: {name: b}}], zones: {}}}\n"},
		{"in place of a value", "lamps:\n  one: {a: 1}\n", []Edit{Set(Path{"lamps", "one"}, Below{Fields{{"b", 2}}})}, "lamps:\n  one: {b: 2}\n"},
	} {
		f, list := Parse("x.yaml", []byte(c.text))
		if f == nil {
			t.Fatal(list)
		}
		next, list := f.Apply(c.edits...)
		if next == nil {
			t.Errorf("%s: %v", c.name, list)
			continue
		}
		if got := string(next.Text()); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
	f, _ := Parse("x.yaml", []byte("a: 1\n"))
	if next, list := f.Apply(Set(Path{"b"}, Below{"text"})); next != nil || !list.HasErrors() {
		t.Error("a text is taken for something to be written below its key")
	}
}
