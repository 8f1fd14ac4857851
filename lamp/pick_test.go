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

func TestPick(t *testing.T) {
	l := pickLamp(t)
	if z, _ := l.Zone("both"); !slices.Equal(z.Groups, []int{0, 1, 4}) {
		t.Errorf("a zone's groups are in layout order, each once: %v", z.Groups)
	}
	zone := func(name string) Term { return Term{Zone: name} }
	tests := []struct {
		name  string
		pick  Pick
		want  []int
		fault string
	}{
		{"everything", Pick{}, []int{0, 1, 2, 3, 4}, ""},
		{"a zone", Pick{With: []Term{zone("a")}}, []int{0, 1, 2}, ""},
		{"layout order, each once", Pick{With: []Term{zone("b"), {"a", 2, 2}, zone("both")}}, []int{0, 1, 3, 4}, ""},
		{"a range", Pick{With: []Term{{"a", 2, 3}}}, []int{1, 2}, ""},
		{"a range backwards is the same set", Pick{With: []Term{{"a", 3, 2}}}, []int{1, 2}, ""},
		{"a group of a named zone", Pick{With: []Term{{"both", 3, 3}}}, []int{4}, ""},
		{"all without", Pick{Without: []Term{{"a", 1, 1}, zone("b")}}, []int{1, 2}, ""},
		{"by colour", Pick{Colour: "amber"}, []int{3, 4}, ""},
		{"zone by colour", Pick{With: []Term{zone("both")}, Colour: "red"}, []int{0, 1}, ""},
		{"a group by its own name", Pick{With: []Term{{"lone", 1, 1}}}, []int{5}, ""},
		{"unknown zone", Pick{With: []Term{zone("bothh")}}, nil, `lamp tail has no zone "bothh"`},
		{"beyond the end", Pick{With: []Term{{"a", 2, 9}}}, nil, "a.2..9 goes beyond zone a of lamp tail, which has 3 groups"},
		{"before the start", Pick{With: []Term{{"a", 0, 2}}}, nil, "a.0..2 goes beyond zone a of lamp tail, which has 3 groups"},
		{"nothing left", Pick{With: []Term{zone("a")}, Without: []Term{zone("a")}}, nil, "no group of lamp tail is left"},
		{"no such colour", Pick{Colour: "blue"}, nil, "no group of lamp tail is left"},
	}
	l.LEDs = append(l.LEDs, LED{ID: "lone/1", Group: 5})
	l.Groups = append(l.Groups, Group{"lone.1", []int{7}})
	tests[0].want = append(tests[0].want, 5)
	tests[6].want = append(tests[6].want, 5)
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got, wrong := l.Pick(test.pick)
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
	if _, wrong := l.Pick(Pick{With: []Term{{Zone: "bothh"}}}); wrong[0].Suggestion != "both" {
		t.Errorf("suggestion %q", wrong[0].Suggestion)
	}
	if _, wrong := l.Pick(Pick{Colour: "blue"}); wrong[0].Next != "take away less, or choose a colour the lamp has: amber, red" {
		t.Errorf("next %q", wrong[0].Next)
	}
}

func TestTermWords(t *testing.T) {
	for want, term := range map[string]Term{"arrow": {Zone: "arrow"}, "arrow.3": {"arrow", 3, 3}, "arrow.2..7": {"arrow", 2, 7}} {
		if got := term.String(); got != want {
			t.Errorf("%+v is written %q, want %q", term, got, want)
		}
	}
}
