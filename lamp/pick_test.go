package lamp

import (
	"slices"
	"testing"
)

// pickLamp has zones a (3 groups, red), b (2 groups, amber) and both.
func pickLamp(tb testing.TB) *Lamp {
	l := &Lamp{Name: "tail"}
	l.Add(mustUnroll(tb, "a", Row{Point{0, 0}, 3, 10}, Grouping{By: ByEach}))
	b, wrong := Unroll("b", Row{Point{0, 20}, 4, 10}, Grouping{ByLEDs, 2}, "amber-590", "amber")
	if len(wrong) > 0 {
		tb.Fatal(wrong)
	}
	l.Add(b)
	l.AddZone("both", []int{4, 0, 4, 1})
	return l
}

func terms(tb testing.TB, texts ...string) []Term {
	var out []Term
	for _, text := range texts {
		term, err := ParseTerm(text)
		if err != nil {
			tb.Fatal(err)
		}
		out = append(out, term)
	}
	return out
}

func TestPick(t *testing.T) {
	l := pickLamp(t)
	if z, _ := l.Zone("both"); !slices.Equal(z.Groups, []int{0, 1, 4}) {
		t.Errorf("a zone's groups are in layout order, each once: %v", z.Groups)
	}
	tests := []struct {
		name          string
		with, without []string
		colour        string
		want          []int
		fault         string
	}{
		{name: "everything", want: []int{0, 1, 2, 3, 4}},
		{name: "a zone", with: []string{"a"}, want: []int{0, 1, 2}},
		{name: "layout order, each once", with: []string{"b", "a.2", "both"}, want: []int{0, 1, 3, 4}},
		{name: "a range", with: []string{"a.2..3"}, want: []int{1, 2}},
		{name: "a range backwards is the same set", with: []string{"a.3..2"}, want: []int{1, 2}},
		{name: "a group of a named zone", with: []string{"both.3"}, want: []int{4}},
		{name: "all without", without: []string{"a.1", "b"}, want: []int{1, 2}},
		{name: "by colour", colour: "amber", want: []int{3, 4}},
		{name: "zone by colour", with: []string{"both"}, colour: "red", want: []int{0, 1}},
		{name: "unknown zone", with: []string{"bothh"}, fault: `lamp tail has no zone "bothh"`},
		{name: "beyond the end", with: []string{"a.2..9"}, fault: "a.2..9 goes beyond zone a of lamp tail, which has 3 groups"},
		{name: "nothing left", with: []string{"a"}, without: []string{"a"}, fault: "no group of lamp tail is left"},
		{name: "no such colour", colour: "blue", fault: "no group of lamp tail is left"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, wrong := l.Pick(Pick{terms(t, test.with...), terms(t, test.without...), test.colour})
			if test.fault != "" {
				if len(wrong) != 1 || wrong[0].Text != test.fault {
					t.Errorf("faults %v", wrong)
				}
				return
			}
			if len(wrong) > 0 || !slices.Equal(got, test.want) {
				t.Errorf("groups %v, want %v; faults %v", got, test.want, wrong)
			}
		})
	}
}

func TestPickedFaultsHelp(t *testing.T) {
	l := pickLamp(t)
	if _, wrong := l.Pick(Pick{With: terms(t, "bothh")}); wrong[0].Suggestion != "both" {
		t.Errorf("suggestion %q", wrong[0].Suggestion)
	}
	if _, wrong := l.Pick(Pick{Colour: "blue"}); wrong[0].Next != "take away less, or choose a colour the lamp has: amber, red" {
		t.Errorf("next %q", wrong[0].Next)
	}
}

func TestTerm(t *testing.T) {
	for _, text := range []string{"arrow", "arrow.3", "arrow.2..7"} {
		if got := terms(t, text)[0].String(); got != text {
			t.Errorf("%q is written %q", text, got)
		}
	}
	for _, text := range []string{"", ".3", "arrow.", "arrow.0", "arrow.x", "arrow.1..", "arrow.1..2..3", "two words"} {
		if term, err := ParseTerm(text); err == nil {
			t.Errorf("%q was read as %+v", text, term)
		}
	}
}
