package source

import (
	"strings"
	"testing"

	"lampwright/report"
)

func TestPathAt(t *testing.T) {
	f, list := Parse("t", []byte("a: 1\nb:\n  c: [x, {d: y}]\n  e:\n    - f: z\n\n# end\n"))
	if f == nil {
		t.Fatal(list)
	}
	for _, c := range []struct {
		line, column int
		want         string
	}{
		{1, 1, "a"}, {1, 4, "a"}, {2, 1, "b"}, {3, 3, "b.c"}, {3, 7, "b.c.0"}, {3, 11, "b.c.1.d"}, {3, 14, "b.c.1.d"}, {5, 5, "b.e.0"}, {5, 10, "b.e.0.f"}, {7, 1, ""}, {99, 1, ""}, {5, 0, "b.e"},
	} {
		if got := strings.Join(f.PathAt(report.Place{Line: c.line, Column: c.column}), "."); got != c.want {
			t.Errorf("%d:%d is in %q, want %q", c.line, c.column, got, c.want)
		}
	}
}
