package session

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"

	"pgregory.net/rapid"
)

// What is derived after edits, undo and redo, one upon another, is what a desk derives that opens the text afresh.
func TestWhatIsDerivedIsWhatTheTextSays(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.yaml")
	broken := 0
	rapid.Check(t, func(t *rapid.T) {
		if err := os.WriteFile(path, []byte(oneSide), 0o644); err != nil {
			t.Fatal(err)
		}
		d, err := Open(path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for range 6 {
			s := d.State()
			var list report.List
			switch rapid.IntRange(0, 5).Draw(t, "what") {
			case 0:
				list = d.Undo(s.Revision)
			case 1:
				list = d.Redo(s.Revision)
			case 2: // a line is lost
				lines := strings.SplitAfter(s.Text, "\n")
				at := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
				list = d.SetText(s.Revision, strings.Join(append(lines[:at:at], lines[at+1:]...), ""))
			default:
				paths := valuesBelow(s.File.Tree(), nil)
				p := rapid.SampledFrom(paths).Draw(t, "path")
				e := rapid.SampledFrom([]source.Edit{source.Set(p, "9 mm"), source.Set(p, "stop"), source.Set(p, 2), source.Delete(p), source.Rename(p, "other")}).Draw(t, "edit")
				list = d.Apply(s.Revision, "edit", e)
			}
			if s = d.State(); list.HasErrors() {
				continue // it is as it was
			}
			fresh, err := Open(path, Options{})
			if err != nil {
				t.Fatal(err)
			}
			f := fresh.State()
			if s.Text != f.Text || !reflect.DeepEqual(s.Problems, f.Problems) || !reflect.DeepEqual(s.File.Tree(), f.File.Tree()) || !reflect.DeepEqual(s.Document, f.Document) {
				t.Fatalf("problems %v, of the text by itself %v\n%s", s.Problems, f.Problems, s.Text)
			}
			if (s.Kit == nil) != (f.Kit == nil) || !sameSight(s.Seen, f.Seen) {
				t.Fatalf("what is seen is not what is seen of the text by itself\n%s", s.Text)
			}
			if s.Kit == nil {
				broken++
			}
		}
	})
	if broken == 0 {
		t.Error("nothing was broken")
	}
}

// valuesBelow lists the paths of all values of a tree.
func valuesBelow(tree any, at source.Path) (paths []source.Path) {
	switch v := tree.(type) {
	case source.Fields:
		for _, f := range v {
			paths = append(append(paths, at.With(f.Key)), valuesBelow(f.Value, at.With(f.Key))...)
		}
	case []any:
		for i, item := range v {
			paths = append(append(paths, at.With(source.Index(i))), valuesBelow(item, at.With(source.Index(i)))...)
		}
	}
	return paths
}

// sameSight tells whether what is seen of two states is the same: their lamps, and each routine on them.
func sameSight(a, b *kit.Kit) bool {
	if a == nil || b == nil || len(a.Lamps) != len(b.Lamps) || len(a.Routines) != len(b.Routines) {
		return a == b
	}
	for i, l := range a.Lamps {
		if !reflect.DeepEqual(l.Lamp, b.Lamps[i].Lamp) {
			return false
		}
		for k, r := range a.Routines {
			one, other := r.On(l), b.Routines[k].On(b.Lamps[i])
			if (one == nil) != (other == nil) || one != nil && (!reflect.DeepEqual(one.Light, other.Light) || !reflect.DeepEqual(one.Touches(l), other.Touches(b.Lamps[i]))) {
				return false
			}
		}
	}
	return true
}
