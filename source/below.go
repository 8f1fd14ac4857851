package source

import (
	"fmt"
	"strings"
)

// Below is a mapping or a list that is written below its key, an entry a line, when it is put into a mapping that stands on lines of
// its own; in brackets it is written in brackets. What is in it may be Below again.
type Below struct{ Value any } // Fields, or a list

// writeBelow renders what is written below its key; an empty value stays behind it.
func writeBelow(b Below) (written, error) {
	w, err := write(b.Value)
	if err != nil {
		return written{}, err
	}
	var lines []string
	switch v := b.Value.(type) {
	case Fields:
		for _, f := range v {
			value, err := write(f.Value)
			if err != nil {
				return written{}, err
			}
			lines = append(lines, strings.Split(value.behind(writeKey(f.Key).text), "\n")...)
		}
	case []any:
		for _, item := range v {
			value, err := write(item)
			if err != nil {
				return written{}, err
			}
			lines = append(lines, "- "+value.asItem())
		}
	default:
		return written{}, fmt.Errorf("a value of type %T cannot be written below its key", b.Value)
	}
	w.below = lines
	return w, nil
}

// behind gives a key with the value behind it, or below it. Lines after the first are counted from the column of the key.
func (w written) behind(key string) string {
	if len(w.below) == 0 {
		return key + ": " + w.text
	}
	return key + ":\n  " + strings.Join(w.below, "\n  ")
}
