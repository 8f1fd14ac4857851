package source

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestMoveTakesCommentsAlong(t *testing.T) {
	const text = `signals:  # first wins
  - a: {x: 1}   # of a
  # above b
  # and more
  - b:
      x: 2   # of b

  - c: {x: 3}
shows: [one, "two, three", four]   # three of them
`
	for _, c := range []struct {
		path Path
		to   int
		want string
	}{
		{Path{"signals", "1"}, 0, "signals:  # first wins\n  # above b\n  # and more\n  - b:\n      x: 2   # of b\n  - a: {x: 1}   # of a\n\n  - c: {x: 3}\nshows: [one, \"two, three\", four]   # three of them\n"},
		{Path{"signals", "0"}, 2, "signals:  # first wins\n  # above b\n  # and more\n  - b:\n      x: 2   # of b\n  - c: {x: 3}\n\n  - a: {x: 1}   # of a\nshows: [one, \"two, three\", four]   # three of them\n"},
		{Path{"shows", "2"}, 0, strings.Replace(text, `one, "two, three", four`, `four, one, "two, three"`, 1)},
		{Path{"shows", "1"}, 1, text},
	} {
		f, list := Parse("t", []byte(text))
		if f == nil {
			t.Fatal(list)
		}
		next, faults := f.Apply(Move(c.path, c.to))
		if next == nil {
			t.Fatalf("%v to %d: %v", c.path, c.to, faults)
		}
		if got := string(next.Text()); got != c.want {
			t.Errorf("%v to %d:\n%s", c.path, c.to, got)
		}
	}
	f, _ := Parse("t", []byte(text))
	for _, e := range []Edit{Move(Path{"signals", "0"}, 3), Move(Path{"signals", "0"}, -1), Move(Path{"signals", "0", "a"}, 0), Move(Path{"signals"}, 0)} {
		if next, _ := f.Apply(e); next != nil {
			t.Errorf("%+v was made:\n%s", e, next.Text())
		}
	}
}

// A move and the move back give the text as it was, when no blank line or comment parts the items.
func TestMoveAndBack(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(r, "items")
		var b strings.Builder
		b.WriteString("list:\n")
		for range n {
			b.WriteString(rapid.SampledFrom([]string{"  - plain", "  - {a: 1, b: [2]}", "  - key:\n      deep: 3", "  - |\n    block\n    text", "  -   far   # comment"}).Draw(r, "item"))
			b.WriteString("\n")
		}
		f, list := Parse("t", []byte(b.String()))
		if f == nil {
			r.Fatal(list)
		}
		from, to := rapid.IntRange(0, n-1).Draw(r, "from"), rapid.IntRange(0, n-1).Draw(r, "to")
		there, faults := f.Apply(Move(Path{"list", Index(from)}, to))
		if there == nil {
			r.Fatal(faults)
		}
		back, faults := there.Apply(Move(Path{"list", Index(to)}, from))
		if back == nil || !slices.Equal(back.Text(), f.Text()) {
			r.Fatalf("%d to %d and back:\n%s\n%v", from, to, there.Text(), faults)
		}
	})
}
