package source

import (
	"reflect"
	"strconv"
	"strings"
	"sync"

	"lampwright/report"
)

// OneKey is embedded in a struct of which exactly one key may be written, such
// as the kinds of a stroke. The other fields are pointers.
type OneKey struct {
	Where  report.Place `yaml:"-"` // of the key
	Chosen string       `yaml:"-"` // the key that was written
}

// Struct tags:
//
//	yaml:"key"            the key; required
//	yaml:"key,omitempty"  the key; may be left out
//	min, max, above       bounds of a number or quantity, in its own written form
//	least, most           bounds of a count of items
//	long                  most runes of a text
//	such                  a value that a message may give as an example
type rules struct {
	min, max, above string
	least, most     int // items
	long            int // runes
	such            string
}

// ofItems gives the rules that hold for the items of a list.
func (r rules) ofItems() rules {
	r.least, r.most = 0, 0
	return r
}

// field is one key of a struct.
type field struct {
	key      string
	index    []int
	required bool
	rules    rules
	goType   reflect.Type
	goName   string
	owner    reflect.Type // the struct that declares it, which may be embedded
}

// plan is how a struct is read.
type plan struct {
	name   string
	fields []field
	at     []int // index of the embedded At, or nil
	oneKey bool
	one    []int // index of the embedded OneKey
}

var (
	plans   sync.Map // reflect.Type -> *plan
	atType  = reflect.TypeFor[At]()
	oneType = reflect.TypeFor[OneKey]()
)

func planOf(t reflect.Type) *plan {
	if p, ok := plans.Load(t); ok {
		return p.(*plan)
	}
	p := &plan{name: t.Name()}
	p.collect(t, nil)
	if len(p.fields) == 0 {
		panic("source: " + t.String() + " has no fields to read")
	}
	stored, _ := plans.LoadOrStore(t, p)
	return stored.(*plan)
}

func (p *plan) collect(t reflect.Type, before []int) {
	for i := range t.NumField() {
		f := t.Field(i)
		index := append(append([]int{}, before...), i)
		switch {
		case f.Type == oneType:
			p.oneKey, p.one = true, index
			continue
		case f.Type == atType:
			p.at = index
			p.collect(f.Type, index)
			continue
		case f.Anonymous && f.Type.Kind() == reflect.Struct:
			p.collect(f.Type, index)
			continue
		}
		key, options, _ := strings.Cut(f.Tag.Get("yaml"), ",")
		if key == "-" || !f.IsExported() {
			continue
		}
		if key == "" {
			panic("source: " + t.String() + "." + f.Name + " has no yaml key")
		}
		p.fields = append(p.fields, field{
			key: key, index: index, required: options != "omitempty",
			rules: rulesOf(f.Tag), goType: f.Type, goName: f.Name, owner: t,
		})
	}
}

func rulesOf(tag reflect.StructTag) rules {
	count := func(name string) int {
		text := tag.Get(name)
		if text == "" {
			return 0
		}
		n, err := strconv.Atoi(text)
		if err != nil {
			panic("source: tag " + name + " is not a count: " + text)
		}
		return n
	}
	return rules{
		min: tag.Get("min"), max: tag.Get("max"), above: tag.Get("above"),
		least: count("least"), most: count("most"), long: count("long"), such: tag.Get("such"),
	}
}

func (p *plan) field(key string) (field, bool) {
	for _, f := range p.fields {
		if f.key == key {
			return f, true
		}
	}
	return field{}, false
}

// keys lists all keys, in the order of the struct, note last.
func (p *plan) keys() []string {
	var keys []string
	noted := false
	for _, f := range p.fields {
		if f.key == reservedName {
			noted = true
			continue
		}
		keys = append(keys, f.key)
	}
	if noted {
		keys = append(keys, reservedName)
	}
	return keys
}

func (p *plan) requiredKeys() string {
	var keys []string
	for _, f := range p.fields {
		if f.required {
			keys = append(keys, f.key)
		}
	}
	return strings.Join(keys, ", ")
}

// needsKeys tells whether any key is required.
func (p *plan) needsKeys() bool { return p.requiredKeys() != "" }

// expected says what the struct looks like in a document.
func (p *plan) expected() string {
	if p.oneKey {
		return "one of the keys " + strings.Join(p.keys(), ", ")
	}
	return "keys with values: " + strings.Join(p.keys(), ", ")
}

// chosen lists the known keys of a one-key mapping that are written.
func (p *plan) chosen(n *node) (keys []string) {
	for _, e := range n.entries {
		if f, known := p.field(e.key.text); known && f.key != reservedName {
			keys = append(keys, f.key)
		}
	}
	return keys
}

// setPlace records where the struct and its keys stand.
func (p *plan) setPlace(target reflect.Value, where report.Place, keys map[string]report.Place) {
	if p.at != nil {
		at := target.FieldByIndex(p.at).Addr().Interface().(*At)
		at.Where, at.keys = where, keys
	}
	if p.oneKey {
		one := target.FieldByIndex(p.one).Addr().Interface().(*OneKey)
		one.Where = where
		for _, f := range p.fields {
			if place, written := keys[f.key]; written && f.key != reservedName {
				one.Where, one.Chosen = place, f.key
				break
			}
		}
	}
}
