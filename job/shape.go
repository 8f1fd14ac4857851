package job

import (
	"reflect"

	"lampwright/source"
)

// Shapes of the types that read themselves.

// Shape describes a zone: its keys, or the names alone.
func (*Zone) Shape() source.Shape {
	long := source.ShapeOf(reflect.TypeFor[zoneKeys]())
	short := source.ShapeOf(reflect.TypeFor[source.OneOrMany[Region]]())
	return source.Shape{Kind: source.ShapeEither, Any: append([]source.Shape{long}, short.Any...)}
}

// Shape describes two lengths with their units.
func (*Position) Shape() source.Shape {
	length := source.Shape{Kind: source.ShapeText, Says: "a length with its unit, as in 120 mm"}
	return source.Shape{Kind: source.ShapeList, Elem: &length, Least: 2, Most: 2}
}

// Shape describes two numbers of millimetres.
func (*Point) Shape() source.Shape {
	either := source.Shape{Kind: source.ShapeEither, Any: []source.Shape{
		{Kind: source.ShapeNumber, Says: "a number of millimetres"},
		{Kind: source.ShapeText, Says: "a length with its unit, as in 1/2 in"},
	}}
	return source.Shape{Kind: source.ShapeList, Elem: &either, Least: 2, Most: 2}
}

// Shape describes a region.
func (*Region) Shape() source.Shape {
	return source.Shape{Kind: source.ShapeText, Says: regionExpected,
		Pattern: `^[a-z][a-z0-9-]*(\.[a-z][a-z0-9-]*)?(\.[1-9][0-9]*(\.\.[1-9][0-9]*)?)?$`}
}

// Shape describes a grouping.
func (*Grouping) Shape() source.Shape {
	return source.Shape{Kind: source.ShapeEither, Any: []source.Shape{
		{Kind: source.ShapeWhole, Says: "how many LEDs make a group"},
		{Kind: source.ShapeText, Says: groupingExpected, Pattern: `^(each|all|[1-9][0-9]* (columns?|rows?|LEDs?))$`},
	}}
}

// Shape describes outputs.
func (*Outputs) Shape() source.Shape {
	one := []source.Shape{
		{Kind: source.ShapeWhole, Says: "an output"},
		{Kind: source.ShapeText, Says: outputsExpected, Pattern: `^(none|[1-9][0-9]*(\.\.[1-9][0-9]*)?)( *, *(none|[1-9][0-9]*(\.\.[1-9][0-9]*)?))*$`},
	}
	item := source.Shape{Kind: source.ShapeEither, Any: one}
	return source.Shape{Kind: source.ShapeEither, Any: append(one, source.Shape{Kind: source.ShapeList, Elem: &item, Least: 1})}
}

// Shape describes the name of a fuse.
func (*Fuse) Shape() source.Shape {
	return source.Shape{Kind: source.ShapeText, Says: fuseExpected, Pattern: `^[A-Za-z0-9-]{1,24}$`}
}

// Shape describes an output.
func (*Output) Shape() source.Shape {
	return source.Shape{Kind: source.ShapeText, Says: outputExpected, Pattern: `^[a-z][a-z0-9-]*\.[1-9][0-9]*$`}
}

// Shape describes a pin.
func (*Pin) Shape() source.Shape {
	return source.Shape{Kind: source.ShapeText, Says: "a module and one of its pins, as in rear-lh.in2",
		Pattern: `^[a-z][a-z0-9-]*\.[a-z][a-z0-9-]*$`}
}
