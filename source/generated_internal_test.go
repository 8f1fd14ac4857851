package source

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// author writes random documents in many styles, knowing what they mean.
type author struct {
	t        *rapid.T
	b        strings.Builder
	comments int
}

func (a *author) chance(name string, percent int) bool {
	return rapid.IntRange(0, 99).Draw(a.t, name) < percent
}

func (a *author) blanks(name string, least, most int) string {
	return strings.Repeat(" ", rapid.IntRange(least, most).Draw(a.t, name))
}

// endLine ends a line, sometimes behind a comment, sometimes with lines between.
func (a *author) endLine(indent int) {
	if a.chance("comment", 15) {
		a.comments++
		a.b.WriteString(a.blanks("before comment", 1, 4) + fmt.Sprintf("# c%d: [x", a.comments))
	}
	a.b.WriteByte('\n')
	if a.chance("blank line", 8) {
		a.b.WriteString("\n")
	}
	if a.chance("comment line", 8) {
		a.comments++
		a.b.WriteString(strings.Repeat(" ", indent) + fmt.Sprintf("# own line %d\n", a.comments))
	}
}

// scalar writes a value on one line.
func (a *author) scalar() *node {
	text := rapid.SampledFrom([]string{"x", "12", "120 mm", "a b", "it's", "größe", "1..12", "x: y", "#no", "", "- d", "日本"}).Draw(a.t, "text")
	switch {
	case plainSafe(text) && a.chance("plain", 70):
		a.b.WriteString(text)
	case a.chance("single", 50):
		a.b.WriteString("'" + strings.ReplaceAll(text, "'", "''") + "'")
	default:
		a.b.WriteString(doubleQuoted(text))
	}
	return &node{kind: Scalar, text: text}
}

// flow writes a value in brackets, or a scalar, on one line or several.
func (a *author) flow(depth, indent int) *node {
	gap := func() {
		if a.chance("break", 8) {
			a.endLine(indent)
			a.b.WriteString(strings.Repeat(" ", indent))
		} else {
			a.b.WriteString(a.blanks("gap", 0, 2))
		}
	}
	if depth <= 0 || a.chance("scalar", 50) {
		return a.scalar()
	}
	n := &node{kind: List, flow: true}
	count := rapid.IntRange(0, 3).Draw(a.t, "count")
	if a.chance("braces", 50) {
		n.kind = Mapping
	}
	a.b.WriteString(map[Kind]string{List: "[", Mapping: "{"}[n.kind])
	for i := range count {
		if i > 0 {
			a.b.WriteByte(',')
		}
		gap()
		if n.kind == List {
			n.items = append(n.items, item{value: a.flow(depth-1, indent)})
		} else {
			key := fmt.Sprintf("k%d", i)
			a.b.WriteString(key + ": ")
			n.entries = append(n.entries, entry{key: &node{kind: Scalar, text: key}, value: a.flow(depth-1, indent)})
		}
		a.b.WriteString(a.blanks("before comma", 0, 1))
	}
	a.b.WriteString(map[Kind]string{List: "]", Mapping: "}"}[n.kind])
	return n
}

// block writes a mapping or list on lines of their own; the first line's
// indent is already written.
func (a *author) block(depth, indent int) *node {
	n := &node{kind: Mapping}
	list := a.chance("list", 40)
	if list {
		n.kind = List
	}
	for i := range rapid.IntRange(1, 4).Draw(a.t, "count") {
		if i > 0 {
			a.b.WriteString(strings.Repeat(" ", indent))
		}
		if list {
			lead := a.blanks("after dash", 1, 3)
			a.b.WriteString("-" + lead)
			if depth > 0 && a.chance("nested", 40) {
				n.items = append(n.items, item{value: a.block(depth-1, indent+1+len(lead))})
				continue
			}
			n.items = append(n.items, item{value: a.flow(2, indent+2)})
			a.endLine(indent)
			continue
		}
		key := fmt.Sprintf("key%d", i)
		a.b.WriteString(key + ":")
		e := entry{key: &node{kind: Scalar, text: key}}
		switch {
		case depth > 0 && a.chance("nested", 40):
			a.endLine(indent)
			inner := indent + rapid.IntRange(1, 4).Draw(a.t, "indent")
			a.b.WriteString(strings.Repeat(" ", inner))
			e.value = a.block(depth-1, inner)
		case a.chance("nothing", 5):
			e.value = &node{}
			a.endLine(indent)
		case a.chance("block text", 10):
			a.b.WriteString(" |\n")
			for range rapid.IntRange(1, 3).Draw(a.t, "lines") {
				e.value = &node{kind: Scalar, text: nodeText(e.value) + "  line # no comment\n"}
				a.b.WriteString(strings.Repeat(" ", indent+3) + "  line # no comment\n")
			}
			// The first line sets the depth, so its own blanks are no part of the text.
			e.value.text = strings.ReplaceAll(e.value.text, "  line", "line")
		default:
			a.b.WriteString(a.blanks("after colon", 1, 3))
			e.value = a.flow(2, indent+2)
			a.endLine(indent)
		}
		n.entries = append(n.entries, e)
	}
	return n
}

func nodeText(n *node) string {
	if n == nil {
		return ""
	}
	return n.text
}

// document draws a document and reads it.
func (a *author) document() (*File, *node) {
	meant := a.block(3, 0)
	text := a.b.String()
	if a.chance("windows", 30) {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	file, list := Parse("random.yaml", []byte(text))
	if file == nil {
		a.t.Fatalf("%v\n%s", list, text)
	}
	return file, meant
}

func TestRandomDocumentsAreReadAsMeant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := &author{t: t}
		file, meant := a.document()
		if !same(file.root, meant) {
			t.Fatalf("read otherwise than meant:\n%s", file.lines.text)
		}
		if n := len(file.comments()); n != a.comments {
			t.Fatalf("%d comments were written, %d read:\n%s", a.comments, n, file.lines.text)
		}
	})
}

func TestRandomDocumentsAreFormattedOnceForAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := &author{t: t}
		file, meant := a.document()
		once, list := file.Format()
		if once == nil {
			t.Fatalf("%v\n%s", list, file.lines.text)
		}
		if !same(once.root, meant) || !slices.Equal(once.comments(), file.comments()) {
			t.Fatalf("formatting changed the meaning:\n%s", file.lines.text)
		}
		twice, list := once.Format()
		if twice == nil || twice.lines.original != once.lines.original {
			t.Fatalf("%v\nfirst:\n%s\nonce:\n%s\ntwice:\n%s", list, file.lines.text, once.lines.text, twice.lines.text)
		}
	})
}

func TestRandomDocumentsCanBeEditedEverywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := &author{t: t}
		file, _ := a.document()
		paths := places(file.root, nil)
		for range 6 {
			path := rapid.SampledFrom(paths).Draw(t, "path")
			value, _, _, _ := file.root.follow(path)
			edits := []Edit{Set(path, "new"), Set(path, Fields{{"a", []any{1}}}), Delete(path)}
			switch value.kind {
			case Mapping:
				edits = append(edits, Insert(path, "new", 1))
				if len(value.entries) > 0 {
					edits = append(edits, InsertAfter(path, value.entries[0].key.text, "new", 1))
				}
			case List:
				edits = append(edits, Append(path, "new"), AddBefore(path, 0, "new"))
			}
			for _, edit := range edits {
				next, list := file.Apply(edit)
				if next == nil && edit.Op == OpDelete && strings.Contains(file.lines.text, "|\n") {
					continue // a comment left behind would become part of the block text above
				}
				if next == nil {
					t.Fatalf("%s %s: %v\n%s", edit.Op, path, list, file.lines.text)
				}
				if edit.Op == OpInsert || edit.Op == OpAdd {
					if !slices.Equal(next.comments(), file.comments()) {
						t.Fatalf("%s %s lost a comment:\n%s", edit.Op, path, file.lines.text)
					}
				}
			}
		}
	})
}
