package source

import (
	"encoding"
	"errors"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"lampwright/report"
	"lampwright/units"
)

// text reads a string; of a type with Words, one of those.
func (d *decoder) text(n *node, target reflect.Value, c context) {
	words, limited := target.Interface().(Words)
	expected := "a text"
	if limited {
		expected = strings.Join(words.Words(), ", ")
	}
	if n.kind != Scalar {
		d.wrongKind(n, c, expected)
		return
	}
	if limited {
		for _, word := range words.Words() {
			if word == n.text {
				target.SetString(word)
				return
			}
		}
		fault := report.Errorf("bad-value", d.file.place(n), "%s cannot be %s", c.what, show(n.text)).
			Expect("%s", expected).Do("write one of the expected words")
		fault.Suggestion = meant(words, n.text, words.Words())
		d.add(fault)
		return
	}
	if runes := utf8.RuneCountInString(n.text); c.rules.long > 0 && runes > c.rules.long {
		d.add(report.Errorf("out-of-range", d.file.place(n), "%s is too long", c.what).
			Against(strconv.Itoa(runes)+" characters", strconv.Itoa(c.rules.long)+" characters", "the document's own form").Do("shorten it"))
	}
	target.SetString(n.text)
}

// integer reads a whole number in plain digits.
func (d *decoder) integer(n *node, target reflect.Value, c context) {
	const expected = "a whole number, as in 12"
	if n.kind != Scalar || n.style != 0 {
		d.wrongKind(n, c, expected)
		return
	}
	value, ok := wholeNumber(n.text)
	if !ok {
		d.wrongKind(n, c, expected)
		return
	}
	target.SetInt(value)
	d.checkBounds(n, float64(value), n.text, c, plainBound)
}

// wholeNumber reads decimal digits with an optional minus; no leading zeros,
// because other readers take them for octal numbers.
func wholeNumber(text string) (int64, bool) {
	value, err := strconv.ParseInt(text, 10, 64)
	return value, err == nil && strconv.FormatInt(value, 10) == text
}

// number reads a plain decimal number.
func (d *decoder) number(n *node, target reflect.Value, c context) {
	const expected = "a number, as in 1.5"
	if n.kind != Scalar || n.style != 0 {
		d.wrongKind(n, c, expected)
		return
	}
	value, ok := plainNumber(n.text)
	if !ok {
		d.wrongKind(n, c, expected)
		return
	}
	target.SetFloat(value)
	d.checkBounds(n, value, n.text, c, plainBound)
}

// plainNumber reads digits with an optional minus and an optional decimal part.
func plainNumber(text string) (float64, bool) {
	body := strings.TrimPrefix(text, "-")
	whole, part, point := strings.Cut(body, ".")
	if !allDigits(whole) || point && !allDigits(part) || len(text) > 32 {
		return 0, false
	}
	value, err := strconv.ParseFloat(text, 64)
	return value, err == nil
}

func allDigits(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}

// boolean reads true or false.
func (d *decoder) boolean(n *node, target reflect.Value, c context) {
	if n.kind == Scalar && n.style == 0 && (n.text == "true" || n.text == "false") {
		target.SetBool(n.text == "true")
		return
	}
	const expected = "true or false"
	if n.kind != Scalar {
		d.wrongKind(n, c, expected)
		return
	}
	fault := report.Errorf("wrong-kind", d.file.place(n), "%s cannot be %s", c.what, show(n.text)).Expect(expected).Do("write it in that form")
	switch strings.ToLower(n.text) {
	case "yes", "y", "on", "true":
		fault.Suggestion = "true"
	case "no", "n", "off", "false":
		fault.Suggestion = "false"
	}
	d.add(fault)
}

// quantity reads a type that reads itself from text, such as a length.
func (d *decoder) quantity(n *node, target reflect.Value, self encoding.TextUnmarshaler, c context) {
	fault := d.readText(self, n, c)
	if fault {
		return
	}
	if value, ok := numeric(target); ok {
		d.checkBounds(n, value, n.text, c, func(bound string) float64 { return boundOf(target.Type(), bound) })
	}
}

// bounds are those of tags that have been read, by type and text; there are as many as tags.
var bounds sync.Map

// boundOf reads a bound as a value of a quantity's type.
func boundOf(t reflect.Type, bound string) float64 {
	type tag struct {
		of   reflect.Type
		text string
	}
	if known, ok := bounds.Load(tag{t, bound}); ok {
		return known.(float64)
	}
	other := reflect.New(t)
	err := other.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(bound))
	b, _ := numeric(other.Elem())
	bounds.Store(tag{t, bound}, must(b, err))
	return b
}

// readText lets self read a scalar and reports what it does not accept.
func (d *decoder) readText(self encoding.TextUnmarshaler, n *node, c context) (fault bool) {
	if n.kind != Scalar {
		d.wrongKind(n, c, "a text such as a quantity with its unit")
		return true
	}
	err := self.UnmarshalText([]byte(n.text))
	if err == nil {
		return false
	}
	var bad *units.Error
	if errors.As(err, &bad) {
		d.add(report.Errorf("bad-quantity", d.file.place(n), "%s cannot be %s: %s", c.what, show(n.text), bad.Problem).
			Expect("%s in %s", bad.Quantity, bad.Accepted).Do("write the number and one of these units"))
		return true
	}
	d.add(report.Errorf("bad-value", d.file.place(n), "%s cannot be %s: %s", c.what, show(n.text), err.Error()).
		Do("correct the value"))
	return true
}

func numeric(v reflect.Value) (float64, bool) {
	switch v.Kind() {
	case reflect.Float64:
		return v.Float(), true
	case reflect.Int, reflect.Int64:
		return float64(v.Int()), true
	}
	return 0, false
}

// checkBounds holds a value to its tags min, max and above.
func (d *decoder) checkBounds(n *node, value float64, written string, c context, read func(string) float64) {
	var limit, text string
	switch r := c.rules; {
	case r.min != "" && value < read(r.min):
		limit, text = "at least "+r.min, "%s is too small"
	case r.above != "" && value <= read(r.above):
		limit, text = "more than "+r.above, "%s is too small"
	case r.max != "" && value > read(r.max):
		limit, text = "at most "+r.max, "%s is too large"
	default:
		return
	}
	d.add(report.Errorf("out-of-range", d.file.place(n), text, c.what).
		Against(written, limit, "the document's own form").Do("write a value within the limit"))
}

// plainBound reads a tag of a plain number.
func plainBound(bound string) float64 {
	b, err := strconv.ParseFloat(bound, 64)
	return must(b, err)
}

// must turns a bad tag into a panic: it is a fault of the program.
func must(value float64, err error) float64 {
	if err != nil {
		panic("source: tag does not hold a value of its type: " + err.Error())
	}
	return value
}
