package source

import (
	"cmp"
	"encoding"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"lampwright/report"
)

// Decoder is a type that reads itself from a value, for shapes that the
// standard ones do not cover. Faults go to Value.Fail.
type Decoder interface{ DecodeSource(v Value) }

// Words is a text type of which only some words are allowed.
type Words interface{ Words() []string }

// Meanings is a type of words, or a struct, that knows what else people call its words or keys: in lower case, with the word meant.
type Meanings interface{ Meant() map[string]string }

// meant gives what is meant by a word for which there is another here, or the nearest of the words that there are.
func meant(of any, word string, known []string) string {
	if m, ok := of.(Meanings); ok {
		if is := m.Meant()[strings.ToLower(word)]; is != "" {
			return is
		}
	}
	return report.Suggest(word, known)
}

// Decode fills the struct that into points to. Every fault of the document is
// in the list, sorted by place; what could be read is filled in all the same.
// It panics when the struct itself is not fit for reading, which is a fault of
// the program, never of the document.
func (f *File) Decode(into any) report.List {
	d := &decoder{file: f}
	target := reflect.ValueOf(into)
	if target.Kind() != reflect.Pointer || target.IsNil() {
		panic("source: Decode needs a pointer to a struct")
	}
	d.into(f.root, target.Elem(), context{what: wholeFile, owner: report.Place{File: f.Name, Line: 1, Column: 1}})
	return f.Finish(d.faults)
}

// decoder collects the faults of one reading.
type decoder struct {
	file   *File
	faults report.List
	full   bool
}

// wholeFile is what messages call the value that is the file itself.
const wholeFile = "the file"

// context is what a value's surroundings know about it.
type context struct {
	what  string       // for messages: `"count"`, "this item"
	owner report.Place // of the key, or of the list item
	rules rules
}

func (d *decoder) add(fault report.Diagnostic) {
	if d.full {
		return
	}
	if len(d.faults) >= FaultLimit-1 {
		d.full = true
		fault = report.Errorf("limit", fault.Place, "there are more faults than are listed").
			Do("mend the ones above and read the file again")
	}
	d.faults.Add(fault)
}

// wrongKind reports a value of another kind than expected.
func (d *decoder) wrongKind(n *node, c context, expected string) {
	if n.kind == Nothing {
		fault := report.Errorf("no-value", c.owner, "nothing is written for %s", c.what).Do("write a value, or delete the key")
		if c.what == wholeFile {
			fault = report.Errorf("no-value", c.owner, "nothing is written in the file").Do("write its first key, or check that this is the right file")
		}
		d.add(fault.Expect("%s", expected))
		return
	}
	found := n.kind.String()
	if n.kind == Scalar {
		found = show(n.text)
	}
	d.add(report.Errorf("wrong-kind", d.file.place(n), "%s cannot be %s", c.what, found).
		Expect("%s", expected).Do("write it in that form"))
}

// into fills target from a value.
func (d *decoder) into(n *node, target reflect.Value, c context) {
	if target.Kind() == reflect.Pointer {
		target.Set(reflect.New(target.Type().Elem()))
		d.into(n, target.Elem(), c)
		return
	}
	address := target.Addr().Interface()
	switch self := address.(type) {
	case builtin:
		self.read(d, n, c)
		return
	case Decoder:
		self.DecodeSource(Value{d: d, n: n, c: c})
		return
	case encoding.TextUnmarshaler:
		d.quantity(n, target, self, c)
		return
	}
	switch target.Kind() {
	case reflect.Struct:
		d.structure(n, target, c)
	case reflect.Slice:
		d.slice(n, target, c)
	case reflect.String:
		d.text(n, target, c)
	case reflect.Int, reflect.Int64:
		d.integer(n, target, c)
	case reflect.Float64:
		d.number(n, target, c)
	case reflect.Bool:
		d.boolean(n, target, c)
	default:
		panic(fmt.Sprintf("source: no reading for %s", target.Type()))
	}
}

// structure reads keys with values into a struct.
func (d *decoder) structure(n *node, target reflect.Value, c context) {
	p := planOf(target.Type())
	if n.kind != Mapping {
		if n.kind == Nothing && !p.oneKey && !p.needsKeys() {
			p.setPlace(target, c.owner, map[string]report.Place{})
			return
		}
		d.wrongKind(n, c, p.expected())
		return
	}
	where := c.owner
	if where.Line == 0 || n.flow || c.what == wholeFile {
		where = d.file.place(n)
	}
	keys := map[string]report.Place{}
	first := map[string]report.Place{}
	var slips []string
	for _, e := range n.entries {
		place := d.file.place(e.key)
		if d.repeated(e.key.text, place, first) {
			continue
		}
		f, known := p.field(e.key.text)
		if !known {
			fault := report.Errorf("unknown-key", place, "there is no key %s here", show(e.key.text)).
				Expect("%s", strings.Join(p.keys(), ", ")).Do("correct the key or delete it")
			fault.Suggestion = meant(target.Addr().Interface(), e.key.text, p.keys())
			slips = append(slips, fault.Suggestion)
			d.add(fault)
			continue
		}
		keys[f.key] = place
		d.into(e.value, target.FieldByIndex(f.index), context{what: `"` + f.key + `"`, owner: place, rules: f.rules})
	}
	if p.oneKey {
		d.checkOneKey(n, p, c)
	}
	d.checkRequired(p, keys, slips, where, c)
	p.setPlace(target, where, keys)
}

// checkRequired reports the keys that are missing, all in one diagnostic; slips are those that were written with one, and
// reported.
func (d *decoder) checkRequired(p *plan, keys map[string]report.Place, slips []string, where report.Place, c context) {
	var missing []string
	next := ""
	for _, f := range p.fields {
		if _, written := keys[f.key]; f.required && !written && !slices.Contains(slips, f.key) {
			missing = append(missing, f.key)
			if next == "" {
				next = fmt.Sprintf("add %s: %s", f.key, cmp.Or(f.rules.such, "and what belongs to it"))
			}
		}
	}
	if len(missing) == 0 {
		return
	}
	word := "the key "
	if len(missing) > 1 {
		word = "the keys "
	}
	d.add(report.Errorf("missing-key", where, "%s needs %s%s", c.what, word, strings.Join(missing, ", ")).
		Expect("%s", p.requiredKeys()).Do("%s", next))
}

// repeated reports a key that was written before in the same mapping.
func (d *decoder) repeated(key string, place report.Place, first map[string]report.Place) bool {
	earlier, twice := first[key]
	if twice {
		d.add(report.Errorf("duplicate-key", place, "the key %s is written twice", show(key)).
			See(earlier, "first written here").Do("keep one of them"))
		return true
	}
	first[key] = place
	return false
}

func (d *decoder) checkOneKey(n *node, p *plan, c context) {
	switch chosen := p.chosen(n); len(chosen) {
	case 1:
	case 0:
		if len(n.entries) == 0 {
			d.add(report.Errorf("missing-key", d.file.place(n), "%s is empty", c.what).
				Expect("one of %s", strings.Join(p.keys(), ", ")).Do("write one of these keys"))
		}
	default:
		second := d.file.place(n.entries[n.find(chosen[1])].key)
		d.add(report.Errorf("too-many-keys", second, "%s holds %s and %s, and only one can stand here", c.what, chosen[0], chosen[1]).
			Do("put each into a list item of its own, behind its own dash"))
	}
}

// slice reads a list.
func (d *decoder) slice(n *node, target reflect.Value, c context) {
	if n.kind != List {
		d.wrongKind(n, c, "a list")
		return
	}
	d.checkCount(n, len(n.items), c)
	target.Set(reflect.MakeSlice(target.Type(), len(n.items), len(n.items)))
	for i, it := range n.items {
		d.into(it.value, target.Index(i), d.itemContext(it, i, c))
	}
}

// itemContext describes one item of a list.
func (d *decoder) itemContext(it item, i int, c context) context {
	return context{
		what:  fmt.Sprintf("item %d of %s", i+1, c.what),
		owner: d.file.lines.place(d.file.Name, it.dash, it.dash+1),
		rules: c.rules.ofItems(),
	}
}

// checkCount holds a list or map to the number of entries it may have.
func (d *decoder) checkCount(n *node, count int, c context) {
	place := d.file.place(n)
	if c.rules.least > 0 && count < c.rules.least {
		d.add(report.Errorf("out-of-range", place, "%s is too short", c.what).
			Against(fmt.Sprint(count), fmt.Sprintf("at least %d", c.rules.least), "the document's own form").Do("add what is missing"))
	}
	if c.rules.most > 0 && count > c.rules.most {
		d.add(report.Errorf("out-of-range", place, "%s is too long", c.what).
			Against(fmt.Sprint(count), fmt.Sprintf("at most %d", c.rules.most), "the document's own form").Do("split or shorten it"))
	}
}
