package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"

	"lampwright/job"
	"lampwright/source"

	"github.com/google/jsonschema-go/jsonschema"
)

// dialect is the version of JSON Schema that is written.
const dialect = "https://json-schema.org/draft/2020-12/schema"

// schemaText renders the schema of a document. folder is where package job stands.
func schemaText(folder string) ([]byte, error) {
	texts, err := readComments(folder, filepath.Join(folder, "..", "source"))
	if err != nil {
		return nil, err
	}
	g := generator{texts: texts, defs: map[string]*jsonschema.Schema{}}
	root := g.schema(source.ShapeOf(reflect.TypeFor[job.Document]()))
	root = g.defs[strings.TrimPrefix(root.Ref, "#/$defs/")]
	delete(g.defs, "Document")
	root.Schema, root.Title, root.Defs = dialect, "Lampwright job document", g.defs
	if len(g.missing) > 0 {
		return nil, fmt.Errorf("no comment stands at %s", strings.Join(g.missing, ", "))
	}
	text, err := json.MarshalIndent(root, "", "  ")
	return append(text, '\n'), err
}

// generator turns shapes into schemas; structs are defined once and referred to.
type generator struct {
	texts   comments
	defs    map[string]*jsonschema.Schema
	missing []string // keys without a comment
}

// text gives a comment, and notes its absence.
func (g *generator) text(name string) string {
	if g.texts[name] == "" {
		g.missing = append(g.missing, name)
	}
	return g.texts[name]
}

func (g *generator) schema(s source.Shape) *jsonschema.Schema {
	out := &jsonschema.Schema{Description: s.Says, MinItems: count(s.Least), MaxItems: count(s.Most)}
	switch s.Kind {
	case source.ShapeText:
		out.Type, out.Pattern = "string", s.Pattern
		for _, word := range s.Words {
			out.Enum = append(out.Enum, word)
		}
		if len(s.Words) > 0 {
			out.Description = g.text(s.Type.Name())
		}
	case source.ShapeWhole:
		out.Type = "integer"
	case source.ShapeNumber:
		out.Type = "number"
	case source.ShapeBool:
		out.Type = "boolean"
	case source.ShapeList:
		out.Type, out.Items = "array", g.schema(*s.Elem)
	case source.ShapeMap:
		out.Type, out.AdditionalProperties = "object", g.schema(*s.Elem)
		out.MinItems, out.MinProperties = nil, out.MinItems
		out.PropertyNames = &jsonschema.Schema{Pattern: source.NamePattern}
		out.Properties = map[string]*jsonschema.Schema{"note": {Type: "string", Description: g.text("At.Note")}}
	case source.ShapeNamed:
		one := 1
		out.Type = "array"
		out.Items = &jsonschema.Schema{Type: "object", MinProperties: &one, MaxProperties: &one,
			PropertyNames:        &jsonschema.Schema{Pattern: source.NamePattern},
			AdditionalProperties: g.schema(*s.Elem)}
	case source.ShapeEither:
		out.MinItems, out.MaxItems = nil, nil
		for _, one := range s.Any {
			inner := g.schema(one)
			if one.Kind == source.ShapeList && one.Least == 0 {
				inner.MinItems, inner.MaxItems = count(s.Least), count(s.Most)
			}
			out.AnyOf = append(out.AnyOf, inner)
		}
	case source.ShapeKeys, source.ShapeOneKey:
		return g.structure(s)
	}
	return out
}

// structure defines a struct and gives a reference to it.
func (g *generator) structure(s source.Shape) *jsonschema.Schema {
	name := s.Type.Name()
	reference := &jsonschema.Schema{Ref: "#/$defs/" + name}
	if _, done := g.defs[name]; done {
		return reference
	}
	out := &jsonschema.Schema{Type: "object", Description: g.text(name), Properties: map[string]*jsonschema.Schema{}}
	out.AdditionalProperties = &jsonschema.Schema{Not: &jsonschema.Schema{}}
	g.defs[name] = out
	if s.Kind == source.ShapeOneKey {
		one := 1
		out.MinProperties, out.MaxProperties = &one, &one
	}
	for _, f := range s.Fields {
		inner := g.schema(f.Shape)
		inner.Description = g.text(f.Owner.Name() + "." + f.GoName)
		g.bounds(inner, f)
		out.Properties[f.Key] = inner
		out.PropertyOrder = append(out.PropertyOrder, f.Key)
		if f.Required {
			out.Required = append(out.Required, f.Key)
		}
	}
	return reference
}

// bounds states limits: as keywords for plain numbers and texts, in words for
// quantities, which a schema sees as texts.
func (g *generator) bounds(out *jsonschema.Schema, f source.ShapeField) {
	out.MaxLength = count(f.Long)
	if f.Shape.Kind == source.ShapeWhole || f.Shape.Kind == source.ShapeNumber {
		out.Minimum, out.Maximum, out.ExclusiveMinimum = bound(f.Min), bound(f.Max), bound(f.Above)
		return
	}
	var says []string
	if f.Shape.Kind == source.ShapeText && f.Shape.Says != "" {
		says = append(says, f.Shape.Says)
	}
	for _, limit := range []struct{ words, value string }{{"at least ", f.Min}, {"more than ", f.Above}, {"at most ", f.Max}} {
		if limit.value != "" {
			says = append(says, limit.words+limit.value)
		}
	}
	if len(says) > 0 {
		text := strings.Join(says, "; ")
		out.Description += " " + strings.ToUpper(text[:1]) + text[1:] + "."
	}
}

func count(n int) *int {
	if n == 0 {
		return nil
	}
	return &n
}

func bound(text string) *float64 {
	if text == "" {
		return nil
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic("schemagen: bound is not a number: " + text)
	}
	return &value
}
