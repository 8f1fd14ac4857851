package source

import (
	"encoding"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode"
)

// Field is a key with its value, for values that are written.
type Field struct {
	Key   string `json:"key"`
	Value any    `json:"value"`
}

// Fields is a mapping in its order, for values that are written.
type Fields []Field

// written is a value in the form of a document, on one line, with what it means.
type written struct {
	text  string
	node  *node
	below []string // its lines below a key, where it may stand so
}

// write renders a value: a string, a bool, a whole number, a float64, anything
// that marshals to text (such as the quantities of package units), Fields, or
// a slice of these.
func write(value any) (written, error) {
	switch v := value.(type) {
	case nil:
		return written{}, fmt.Errorf("there is no value to write")
	case string:
		return writeText(v), nil
	case bool:
		return bare(strconv.FormatBool(v)), nil
	case Fields:
		return writeFields(v)
	case Below:
		return writeBelow(v)
	case encoding.TextMarshaler:
		text, err := v.MarshalText()
		if err != nil {
			return written{}, err
		}
		return writeText(string(text)), nil
	}
	switch v := reflect.ValueOf(value); v.Kind() {
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return bare(strconv.FormatInt(v.Int(), 10)), nil
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			return written{}, fmt.Errorf("%v cannot be written as a number", v.Float())
		}
		return bare(strconv.FormatFloat(v.Float(), 'f', -1, 64)), nil
	case reflect.String:
		return writeText(v.String()), nil
	case reflect.Slice:
		return writeList(v)
	}
	return written{}, fmt.Errorf("a value of type %T cannot be written", value)
}

func bare(text string) written {
	return written{text: text, node: &node{kind: Scalar, text: text}}
}

func writeFields(fields Fields) (written, error) {
	n := &node{kind: Mapping, flow: true}
	parts := make([]string, len(fields))
	for i, f := range fields {
		value, err := write(f.Value)
		if err != nil {
			return written{}, err
		}
		key := writeKey(f.Key)
		if n.find(f.Key) >= 0 {
			return written{}, fmt.Errorf("the key %s is written twice", show(f.Key))
		}
		parts[i] = key.text + ": " + value.text
		n.entries = append(n.entries, entry{key: key.node, value: value.node})
	}
	return written{text: "{" + strings.Join(parts, ", ") + "}", node: n}, nil
}

func writeList(v reflect.Value) (written, error) {
	n := &node{kind: List, flow: true}
	parts := make([]string, v.Len())
	for i := range parts {
		value, err := write(v.Index(i).Interface())
		if err != nil {
			return written{}, err
		}
		parts[i] = value.text
		n.items = append(n.items, item{value: value.node})
	}
	return written{text: "[" + strings.Join(parts, ", ") + "]", node: n}, nil
}

// writeText renders a text without quotes where that is safe everywhere, else
// in double quotes.
func writeText(text string) written {
	n := &node{kind: Scalar, text: text}
	if plainSafe(text) {
		return written{text: text, node: n}
	}
	n.style = '"'
	return written{text: doubleQuoted(text), node: n}
}

// writeKey renders a key. Words that elsewhere might be read as truths are keys of our documents (on) and stay plain.
func writeKey(text string) written {
	switch text {
	case "on", "off", "yes", "no":
		return bare(text)
	}
	return writeText(text)
}

// asItem gives a value as an item of a block list: one key with its value needs no brackets around it.
func (w written) asItem() string {
	if w.node.kind == Mapping && w.node.flow && len(w.node.entries) == 1 {
		return strings.TrimSuffix(strings.TrimPrefix(w.text, "{"), "}")
	}
	return w.text
}

// plainSafe tells whether a text may stand without quotes, in brackets too.
func plainSafe(text string) bool {
	switch strings.ToLower(text) {
	case "", "null", "~", "true", "false", "yes", "no", "on", "off", "---", "...":
		return false
	}
	for i, r := range text {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r):
		case i > 0 && strings.ContainsRune("._/()+%°²Ω;=@", r):
		case r == ' ' && i > 0 && i < len(text)-1:
		case r == '-' && (i > 0 || len(text) > 1 && text[1] >= '0' && text[1] <= '9'):
		default:
			return false
		}
	}
	return true
}

func doubleQuoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r < 0x10000 && !unicode.IsPrint(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
