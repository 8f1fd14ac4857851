package main

import (
	"bytes"
	"encoding"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"lampwright/job"
	"lampwright/parts"
	"lampwright/source"
)

// keysHeading is the line of the reference page below which all is made from the types; what stands above it is written by hand.
const keysHeading = "## Every key\n"

// referenceText renews the reference page: its head stays, and the tables below are made anew. folder is where package job stands.
func referenceText(page []byte, folder string) ([]byte, error) {
	head, _, found := bytes.Cut(page, []byte(keysHeading))
	if !found {
		return nil, fmt.Errorf("the page has no line %q", strings.TrimSpace(keysHeading))
	}
	texts, err := readComments(folder, filepath.Join(folder, "..", "source"))
	if err != nil {
		return nil, err
	}
	w := &reference{texts: texts, titles: map[reflect.Type][]string{}, told: map[string]bool{}}
	w.meet("the file", source.ShapeOf(reflect.TypeFor[job.Document]()))
	var out bytes.Buffer
	out.Write(head)
	out.WriteString(keysHeading)
	for _, s := range w.order {
		w.section(&out, s)
	}
	out.WriteString("\n## LED parts\n\nUnder `parts:` a job may give names of its own.\n\n| part | what it is |\n| --- | --- |\n")
	for _, p := range parts.All() {
		fmt.Fprintf(&out, "| `%s` | %s |\n", p.Name, cell(p.About))
	}
	return out.Bytes(), nil
}

// common are keys that several structs have alike: they are told once, before the first of them.
var common = map[string]struct{ title, row string }{
	"Body":    {"Every pattern of several LEDs", "the keys of every pattern"},
	"Gesture": {"Every stroke but `call`", "the keys of every stroke"},
	"Travel":  {"Every stroke that travels", "the keys of every stroke that travels"},
}

// reference turns shapes into a section each, in the order in which a reader of the document meets them.
type reference struct {
	texts  comments
	order  []source.Shape
	titles map[reflect.Type][]string // the keys under which a struct stands
	told   map[string]bool           // of common
}

// meet notes a struct and then those inside it.
func (w *reference) meet(key string, s source.Shape) {
	switch s.Kind {
	case source.ShapeKeys, source.ShapeOneKey:
	case source.ShapeEither:
		for _, one := range s.Any {
			w.meet(key, one)
		}
		return
	case source.ShapeList, source.ShapeMap, source.ShapeNamed:
		w.meet(key, *s.Elem)
		return
	default:
		return
	}
	known := w.titles[s.Type]
	if !slices.Contains(known, key) {
		w.titles[s.Type] = append(known, key)
	}
	if known != nil {
		return
	}
	w.order = append(w.order, s)
	for _, f := range s.Fields {
		w.meet(f.Key, f.Shape)
	}
}

func (w *reference) title(t reflect.Type) string {
	if key := w.titles[t]; len(key) > 1 || key[0] != "the file" {
		return "`" + strings.Join(key, "`, `") + "`"
	}
	return "The file"
}

// section writes one struct: what it is, and a row a key.
func (w *reference) section(out *bytes.Buffer, s source.Shape) {
	shared := map[string][]source.ShapeField{}
	var owners []string
	for _, f := range s.Fields {
		if owner := f.Owner.Name(); f.Owner != s.Type && f.Key != "note" && common[owner].title != "" {
			if shared[owner] == nil {
				owners = append(owners, owner)
			}
			shared[owner] = append(shared[owner], f)
		}
	}
	for _, owner := range owners {
		if !w.told[owner] {
			w.told[owner] = true
			fmt.Fprintf(out, "\n### %s\n%s", common[owner].title, tableHead)
			for _, f := range shared[owner] {
				w.row(out, f)
			}
		}
	}
	fmt.Fprintf(out, "\n### %s\n\n%s", w.title(s.Type), w.about(s.Type.Name()))
	if s.Kind == source.ShapeOneKey {
		out.WriteString(" One of these keys:")
	}
	out.WriteString("\n" + tableHead)
	for _, owner := range owners {
		fmt.Fprintf(out, "| %s | | |\n", common[owner].row)
	}
	for _, f := range s.Fields {
		if f.Key != "note" && shared[f.Owner.Name()] == nil { // a note stands in every one, and is told in the head
			w.row(out, f)
		}
	}
}

const tableHead = "\n| key | what it is | how it is written |\n| --- | --- | --- |\n"

func (w *reference) row(out *bytes.Buffer, f source.ShapeField) {
	key := "`" + f.Key + "`"
	if f.Required {
		key = "**" + key + "**"
	}
	fmt.Fprintf(out, "| %s | %s | %s |\n", key, cell(w.texts[f.Owner.Name()+"."+f.GoName]), cell(w.written(f.Shape)+limits(f)))
}

// about is a type's comment without the type's name: "Row is a straight row" says "A straight row".
func (w *reference) about(name string) string {
	text := strings.TrimPrefix(w.texts[name], name+" ")
	for _, verb := range []string{"is ", "says "} {
		text = strings.TrimPrefix(text, verb)
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

// written says how a value is written.
func (w *reference) written(s source.Shape) string {
	switch s.Type { // what the head of the page explains
	case reflect.TypeFor[job.Point]():
		return "a point"
	case reflect.TypeFor[job.Position]():
		return "two lengths, as in `[-720 mm, 900 mm]`"
	case reflect.TypeFor[job.Region]():
		return "a region"
	case reflect.TypeFor[job.Outputs]():
		return "outputs"
	case reflect.TypeFor[job.Grouping]():
		return "`each`, `all`, a number of LEDs, or for a grid `2 columns` or `1 row`"
	case reflect.TypeFor[job.Zone]():
		return "a region, several in a list, or keys: `zones`"
	}
	switch s.Kind {
	case source.ShapeText:
		switch {
		case len(s.Words) > 0:
			return "`" + strings.Join(s.Words, "`, `") + "`"
		case s.Pattern == source.NamePattern:
			return "a name"
		case s.Says != "":
			if quantity, _, found := strings.Cut(s.Says, " in "); found && reflect.PointerTo(s.Type).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()) {
				return quantity // its units stand in the head
			}
			return s.Says
		}
		return "a text"
	case source.ShapeWhole:
		return withSays("a whole number", s)
	case source.ShapeNumber:
		return withSays("a number", s)
	case source.ShapeBool:
		return "`true` or `false`"
	case source.ShapeList:
		if inner := w.written(*s.Elem); strings.HasPrefix(inner, "keys: ") {
			return "a list, each item with " + inner
		} else {
			return "a list: " + inner
		}
	case source.ShapeMap:
		return "names, each with " + w.written(*s.Elem)
	case source.ShapeNamed:
		return "a list of names, each with " + w.written(*s.Elem)
	case source.ShapeEither:
		var ways []string
		for _, one := range s.Any {
			if way := w.written(one); !slices.Contains(ways, way) {
				ways = append(ways, way)
			}
		}
		if len(ways) == 2 && ways[1] == "a list: "+ways[0] {
			return ways[0] + ", or several in a list"
		}
		return strings.Join(ways, "; or ")
	}
	if len(w.titles[s.Type]) > 2 {
		return "keys: see below"
	}
	return "keys: " + w.title(s.Type)
}

func withSays(plain string, s source.Shape) string {
	if s.Says != "" {
		return s.Says
	}
	return plain
}

// limits tells the bounds of a value.
func limits(f source.ShapeField) string {
	var says []string
	for _, limit := range []struct{ words, value string }{{"at least ", f.Min}, {"more than ", f.Above}, {"at most ", f.Max}} {
		if limit.value != "" {
			says = append(says, limit.words+limit.value)
		}
	}
	if f.Long > 0 {
		says = append(says, fmt.Sprintf("at most %d characters", f.Long))
	}
	if f.Shape.Least > 1 {
		says = append(says, fmt.Sprintf("at least %d of them", f.Shape.Least))
	}
	if f.Shape.Most > 0 {
		says = append(says, fmt.Sprintf("at most %d of them", f.Shape.Most))
	}
	if len(says) == 0 {
		return ""
	}
	return "; " + strings.Join(says, ", ")
}

// cell keeps a text from ending its cell of a table.
func cell(text string) string { return strings.ReplaceAll(text, "|", `\|`) }

// renew writes the reference page anew.
func renew(path, folder string) error {
	page, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	text, err := referenceText(page, folder)
	if err != nil {
		return err
	}
	return os.WriteFile(path, text, 0o644)
}
