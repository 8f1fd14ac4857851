package source

import (
	"reflect"

	"lampwright/report"
)

// builtin is a type of this package that reads itself.
type builtin interface {
	read(d *decoder, n *node, c context)
	shape() Shape
}

// Value is a value of the text as a Decoder sees it.
type Value struct {
	d *decoder
	n *node
	c context
}

// Kind tells what the value looks like.
func (v Value) Kind() Kind { return v.n.kind }

// Text gives the text of a scalar, without quotes.
func (v Value) Text() string { return v.n.text }

// Quoted tells whether a scalar is written in quotes or as a block text.
func (v Value) Quoted() bool { return v.n.style != 0 }

// Place gives the value's place, or that of its key when nothing is written.
func (v Value) Place() report.Place {
	if v.n.kind == Nothing || v.n.end == v.n.start {
		return v.c.owner
	}
	return v.d.file.place(v.n)
}

// What names the value in messages, such as `"count"`.
func (v Value) What() string { return v.c.what }

// Number gives a bare number, for the few places where the unit is fixed by
// the form of the document, and whether the value is one.
func (v Value) Number() (float64, bool) {
	if v.n.kind != Scalar || v.n.style != 0 {
		return 0, false
	}
	return plainNumber(v.n.text)
}

// Items gives the values of a list.
func (v Value) Items() []Value {
	items := make([]Value, len(v.n.items))
	for i, it := range v.n.items {
		items[i] = Value{d: v.d, n: it.value, c: v.d.itemContext(it, i, v.c)}
	}
	return items
}

// Into reads the value into the variable that target points to, by the usual
// rules.
func (v Value) Into(target any) { v.d.into(v.n, reflect.ValueOf(target).Elem(), v.c) }

// Report adds a diagnostic as it is.
func (v Value) Report(fault report.Diagnostic) { v.d.add(fault) }

// Fail reports that the value cannot be what it is; problem may be "".
func (v Value) Fail(problem, expected string) {
	if v.n.kind != Scalar || problem == "" {
		v.d.wrongKind(v.n, v.c, expected)
		return
	}
	v.d.add(report.Errorf("bad-value", v.Place(), "%s cannot be %s: %s", v.c.what, show(v.n.text), problem).
		Expect("%s", expected).Do("write it in that form"))
}

// CheckCount holds the number of items to the least and most of the field's tags.
func (v Value) CheckCount(count int) { v.d.checkCount(v.n, count, v.c) }

func (n *Name) read(d *decoder, from *node, c context) {
	if from.kind != Scalar {
		d.wrongKind(from, c, NameExpected)
		return
	}
	place := d.file.place(from)
	if fault, bad := nameFault(from.text, place); bad {
		d.add(fault)
		return
	}
	n.Text, n.Where = from.text, place
}

func (o *Of[T]) read(d *decoder, n *node, c context) {
	before := len(d.faults)
	d.into(n, reflect.ValueOf(&o.Value).Elem(), c)
	o.Where = d.file.place(n)
	o.given = len(d.faults) == before
}

func (m *Map[T]) read(d *decoder, n *node, c context) {
	m.Where = c.owner
	if n.kind == Nothing {
		d.checkCount(n, 0, c)
		return
	}
	if n.kind != Mapping {
		d.wrongKind(n, c, "names with values")
		return
	}
	first := map[string]report.Place{}
	for _, e := range n.entries {
		place := d.file.place(e.key)
		if d.repeated(e.key.text, place, first) {
			continue
		}
		if e.key.text == reservedName && e.value.kind == Scalar {
			m.Note = e.value.text
			continue
		}
		m.entries = append(m.entries, readEntry[T](d, e, c))
	}
	d.checkCount(n, len(m.entries), c)
}

// readEntry reads one named value.
func readEntry[T any](d *decoder, e entry, c context) Entry[T] {
	place := d.file.place(e.key)
	if fault, bad := nameFault(e.key.text, place); bad {
		d.add(fault)
	}
	read := Entry[T]{Name: Name{Text: e.key.text, Where: place}, Place: place}
	if e.value.kind != Nothing {
		read.Place = d.file.place(e.value)
	}
	d.into(e.value, reflect.ValueOf(&read.Value).Elem(), context{what: `"` + e.key.text + `"`, owner: place, rules: c.rules.ofItems()})
	return read
}

func (l *NamedList[T]) read(d *decoder, n *node, c context) {
	l.Where = c.owner
	const expected = "a list whose items are a name with keys, as in - stop: {...}"
	if n.kind == Nothing {
		d.checkCount(n, 0, c)
		return
	}
	if n.kind != List {
		d.wrongKind(n, c, expected)
		return
	}
	first := map[string]report.Place{}
	for i, it := range n.items {
		ic := d.itemContext(it, i, c)
		if it.value.kind != Mapping || len(it.value.entries) == 0 {
			d.wrongKind(it.value, ic, expected)
			continue
		}
		if len(it.value.entries) > 1 {
			d.add(report.Errorf("too-many-keys", d.file.place(it.value.entries[1].key), "%s holds more than one name", ic.what).
				Do("put each name behind a dash of its own, and indent its keys below it"))
			continue
		}
		e := it.value.entries[0]
		if d.repeated(e.key.text, d.file.place(e.key), first) {
			continue
		}
		l.entries = append(l.entries, readEntry[T](d, e, c))
	}
	d.checkCount(n, len(n.items), c)
}

func (o *OneOrMany[T]) read(d *decoder, n *node, c context) {
	o.Where = d.file.place(n)
	if n.kind == List {
		d.checkCount(n, len(n.items), c)
		o.Items = make([]T, len(n.items))
		for i, it := range n.items {
			d.into(it.value, reflect.ValueOf(&o.Items[i]).Elem(), d.itemContext(it, i, c))
		}
		return
	}
	o.Items = make([]T, 1)
	d.into(n, reflect.ValueOf(&o.Items[0]).Elem(), c)
}
