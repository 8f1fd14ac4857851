package source

import (
	"encoding"
	"errors"
	"reflect"

	"lampwright/units"
)

// ShapeKind is what a value looks like, for descriptions such as a schema.
type ShapeKind int

// Kinds of shapes.
const (
	ShapeText   ShapeKind = iota // any single value
	ShapeWhole                   // a whole number
	ShapeNumber                  // a decimal number
	ShapeBool                    // true or false
	ShapeList                    // a list of Elem
	ShapeKeys                    // the keys Fields
	ShapeOneKey                  // exactly one of the keys Fields, and a note
	ShapeMap                     // names with values of Elem
	ShapeNamed                   // a list of one-key mappings from a name to Elem
	ShapeEither                  // one of Any
)

// Shape describes what a type is read from. It follows the very tags that
// reading obeys, so that a description cannot drift from the reader.
type Shape struct {
	Kind    ShapeKind
	Type    reflect.Type // the Go type, for its comment
	Words   []string     // the words that are allowed, when only some are
	Pattern string       // a regular expression that a text matches, or ""
	Says    string       // what a text holds, in words, or ""
	Elem    *Shape
	Any     []Shape
	Fields  []ShapeField
	Least   int // items; 0 = no bound
	Most    int // items; 0 = no bound
}

// ShapeField is one key of a shape.
type ShapeField struct {
	Key      string
	Required bool
	Owner    reflect.Type // the struct that declares it
	GoName   string
	Shape    Shape

	Min, Max, Above string // bounds in the value's own form
	Long            int    // most runes of a text; 0 = no bound
}

// Shaper is a Decoder that describes what it reads.
type Shaper interface{ Shape() Shape }

// NamePattern is the regular expression of a name.
const NamePattern = `^[a-z][a-z0-9]*(-[a-z0-9]+)*$`

// ShapeOf describes what a value of type t is read from.
func ShapeOf(t reflect.Type) Shape {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	value := reflect.New(t)
	switch self := value.Interface().(type) {
	case builtin:
		return self.shape()
	case Shaper:
		shape := self.Shape()
		shape.Type = t
		return shape
	case Decoder:
		panic("source: " + t.String() + " does not describe its shape")
	case encoding.TextUnmarshaler:
		return Shape{Kind: ShapeText, Type: t, Says: saysOf(self)}
	}
	switch t.Kind() {
	case reflect.Struct:
		return shapeOfStruct(t)
	case reflect.Slice:
		elem := ShapeOf(t.Elem())
		return Shape{Kind: ShapeList, Type: t, Elem: &elem}
	case reflect.Int, reflect.Int64:
		return Shape{Kind: ShapeWhole, Type: t}
	case reflect.Float64:
		return Shape{Kind: ShapeNumber, Type: t}
	case reflect.Bool:
		return Shape{Kind: ShapeBool, Type: t}
	}
	shape := Shape{Kind: ShapeText, Type: t}
	if words, limited := value.Elem().Interface().(Words); limited {
		shape.Words = words.Words()
	}
	return shape
}

// saysOf asks a quantity what it accepts.
func saysOf(self encoding.TextUnmarshaler) string {
	var bad *units.Error
	if err := self.UnmarshalText(nil); errors.As(err, &bad) {
		return bad.Quantity + " in " + bad.Accepted
	}
	return ""
}

func shapeOfStruct(t reflect.Type) Shape {
	p := planOf(t)
	shape := Shape{Kind: ShapeKeys, Type: t}
	if p.oneKey {
		shape.Kind = ShapeOneKey
	}
	for _, f := range p.fields {
		inner := ShapeOf(f.goType)
		inner.Least, inner.Most = f.rules.least, f.rules.most
		shape.Fields = append(shape.Fields, ShapeField{
			Key: f.key, Required: f.required, Owner: f.owner, GoName: f.goName, Shape: inner,
			Min: f.rules.min, Max: f.rules.max, Above: f.rules.above, Long: f.rules.long,
		})
	}
	return shape
}

func (n *Name) shape() Shape {
	return Shape{Kind: ShapeText, Type: reflect.TypeFor[Name](), Pattern: NamePattern, Says: "a name of lower-case letters, digits and single hyphens"}
}

func (o *Of[T]) shape() Shape { return ShapeOf(reflect.TypeFor[T]()) }

func (m *Map[T]) shape() Shape {
	elem := ShapeOf(reflect.TypeFor[T]())
	return Shape{Kind: ShapeMap, Elem: &elem}
}

func (l *NamedList[T]) shape() Shape {
	elem := ShapeOf(reflect.TypeFor[T]())
	return Shape{Kind: ShapeNamed, Elem: &elem}
}

func (o *OneOrMany[T]) shape() Shape {
	elem := ShapeOf(reflect.TypeFor[T]())
	return Shape{Kind: ShapeEither, Any: []Shape{elem, {Kind: ShapeList, Elem: &elem}}}
}
