package parts

import (
	"slices"
	"testing"
)

func TestCatalogueIsComplete(t *testing.T) {
	colours := []string{"red", "amber", "yellow", "white", "warm-white", "blue", "green"}
	seen := map[string]bool{}
	for _, p := range All() {
		if !slices.Contains(colours, p.Colour) {
			t.Errorf("%s has the colour %q, which is none of %v", p.Name, p.Colour, colours)
		}
		if p.About == "" {
			t.Errorf("%s does not say what it is", p.Name)
		}
		seen[p.Colour] = true
	}
	for _, c := range colours {
		if !seen[c] {
			t.Errorf("no part is %s", c)
		}
	}
	if _, ok := Find("red-622"); !ok {
		t.Error("red-622 is not found")
	}
	if _, ok := Find("no-such-part"); ok {
		t.Error("a part that is not there is found")
	}
}
