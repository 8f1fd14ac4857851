package source

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
)

// MarshalJSON gives an object whose keys stand in the order of the fields.
func (f Fields) MarshalJSON() ([]byte, error) { return appendJSON(nil, f) }

// appendJSON writes what json.Marshal gives of a tree, but each value once: the library reads again what a MarshalJSON gives it, at
// every level anew.
func appendJSON(to []byte, value any) (_ []byte, err error) {
	switch v := value.(type) {
	case Fields:
		to = append(to, '{')
		for i, field := range v {
			if i > 0 {
				to = append(to, ',')
			}
			if to, err = appendJSON(to, field.Key); err != nil {
				return nil, err
			}
			if to, err = appendJSON(append(to, ':'), field.Value); err != nil {
				return nil, err
			}
		}
		return append(to, '}'), nil
	case []any:
		if v == nil {
			return append(to, "null"...), nil
		}
		to = append(to, '[')
		for i, item := range v {
			if i > 0 {
				to = append(to, ',')
			}
			if to, err = appendJSON(to, item); err != nil {
				return nil, err
			}
		}
		return append(to, ']'), nil
	case string:
		if bareJSON(v) {
			return append(append(append(to, '"'), v...), '"'), nil
		}
	}
	text, err := json.Marshal(value)
	return append(to, text...), err
}

// bareJSON tells whether a text stands in JSON as it is.
func bareJSON(text string) bool {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c > '~' || c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' {
			return false
		}
	}
	return true
}

// UnmarshalJSON reads an edit. Objects in its value become Fields in the order
// in which they are written, which a Go map would lose.
func (e *Edit) UnmarshalJSON(text []byte) error {
	type plain Edit // without this method
	var read struct {
		plain
		Value json.RawMessage `json:"value"`
	}
	if err := json.Unmarshal(text, &read); err != nil {
		return err
	}
	*e = Edit(read.plain)
	if len(read.Value) == 0 {
		return nil
	}
	decoder := json.NewDecoder(bytes.NewReader(read.Value))
	decoder.UseNumber()
	value, err := orderedValue(decoder)
	e.Value = value
	return err
}

// orderedValue reads one JSON value. The library bounds its depth.
func orderedValue(decoder *json.Decoder) (any, error) {
	next, err := decoder.Token()
	if err != nil {
		return nil, err
	}
	switch v := next.(type) {
	case json.Number:
		if whole, err := strconv.Atoi(v.String()); err == nil {
			return whole, nil
		}
		return v.Float64()
	case json.Delim:
		if v == '[' {
			return orderedList(decoder)
		}
		return orderedFields(decoder)
	}
	return next, nil
}

func orderedList(decoder *json.Decoder) (any, error) {
	list := []any{}
	for decoder.More() {
		value, err := orderedValue(decoder)
		if err != nil {
			return nil, err
		}
		list = append(list, value)
	}
	_, err := decoder.Token()
	return list, err
}

func orderedFields(decoder *json.Decoder) (any, error) {
	fields := Fields{}
	for decoder.More() {
		key, err := decoder.Token()
		if err != nil {
			return nil, err
		}
		name, ok := key.(string)
		if !ok {
			return nil, fmt.Errorf("a key is not a text: %v", key)
		}
		value, err := orderedValue(decoder)
		if err != nil {
			return nil, err
		}
		fields = append(fields, Field{Key: name, Value: value})
	}
	_, err := decoder.Token()
	return fields, err
}
